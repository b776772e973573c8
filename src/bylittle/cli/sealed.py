"""One encrypted file: AES-256 in Galois/Counter Mode (NIST SP 800-38D) under a key from scrypt (RFC 7914).

The file: a mark of 16 bytes, 16 of salt, 12 of nonce and 16 by which a wrong key is told from damage; then
the encrypted content, and the tag of 16 that proves all of it.
"""

from __future__ import annotations

import hashlib
import hmac
import io
import os
import secrets
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any

from bylittle.cli.telling import CannotRun

MARK = b"bylittle-sealed1"
KEY_VARIABLE = "BYLITTLE_BACKUP_KEY"
SHORTEST_KEY = 8
Writing = io.RawIOBase | IO[bytes]
_SALT, _NONCE, _CHECK, _TAG = 16, 12, 16, 16
_HEAD = len(MARK) + _SALT + _NONCE + _CHECK
_CHUNK = 1 << 20


def key_of(file: Path | None) -> str:
    """The key: the text of a file, else the environment's. CannotRun where there is none, or a short one."""
    key = file.read_text("utf-8").strip() if file else os.environ.get(KEY_VARIABLE, "").strip()
    if not key:
        raise CannotRun("backup_key_missing", variable=KEY_VARIABLE)
    if len(key) < SHORTEST_KEY:
        raise CannotRun("backup_key_short", least=SHORTEST_KEY)
    return key


def seal(path: Path, key: str, write: Callable[[Writing], int]) -> int:
    """Let `write` fill a sealed file, which is there as a whole or not at all; returns what `write` does."""
    salt, nonce = secrets.token_bytes(_SALT), secrets.token_bytes(_NONCE)
    secret, check = _derived(key, salt)
    head = MARK + salt + nonce + check
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            out.write(head)
            cipher = _cipher(secret, nonce, None).encryptor()
            cipher.authenticate_additional_data(head)
            told = write(_Sealing(out, cipher))
            out.write(cipher.finalize() + cipher.tag)
            out.flush()
            os.fsync(out.fileno())
        os.replace(fresh, path)
    finally:
        fresh.unlink(missing_ok=True)
    return told


def opened(path: Path, key: str) -> IO[bytes]:
    """The content of a sealed file, to be read once. It was read through and proved before the first byte.

    CannotRun: no sealed file, another key, a damaged file.
    """
    head, tag, size = _ends(path)
    secret, check = _derived(key, head[len(MARK) : len(MARK) + _SALT])
    if not hmac.compare_digest(check, head[-_CHECK:]):
        raise CannotRun("backup_wrong_key", name=str(path))
    nonce = head[len(MARK) + _SALT : -_CHECK]

    def reading() -> _Opening:
        cipher = _cipher(secret, nonce, tag).decryptor()
        cipher.authenticate_additional_data(head)
        return _Opening(path, cipher, size)

    with reading() as proof:
        while proof.read(_CHUNK):
            pass
        _prove(proof, path)
    return io.BufferedReader(reading(), _CHUNK)


def _prove(proof: _Opening, path: Path) -> None:
    from cryptography.exceptions import InvalidTag

    try:
        proof.cipher.finalize()
    except InvalidTag as problem:
        raise CannotRun("backup_damaged", name=str(path)) from problem


def is_sealed(path: Path) -> bool:
    """True where the file begins as a sealed one."""
    with path.open("rb") as file:
        return file.read(len(MARK)) == MARK


def _ends(path: Path) -> tuple[bytes, bytes, int]:
    """The head, the tag, and the size of what is between."""
    size = path.stat().st_size - _HEAD - _TAG
    if not is_sealed(path):
        raise CannotRun("backup_is_none", name=str(path))
    if size < 0:
        raise CannotRun("backup_damaged", name=str(path))
    with path.open("rb") as file:
        head = file.read(_HEAD)
        file.seek(_HEAD + size)
        return head, file.read(), size


def _derived(key: str, salt: bytes) -> tuple[bytes, bytes]:
    """The key of the cipher, and the bytes that tell a wrong key."""
    made = hashlib.scrypt(key.encode(), salt=salt, n=2**15, r=8, p=1, maxmem=2**26, dklen=32 + _CHECK)
    return made[:32], made[32:]


def _cipher(secret: bytes, nonce: bytes, tag: bytes | None) -> Any:
    """The library's cipher; it is loaded only where something is sealed or opened."""
    from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes

    return Cipher(algorithms.AES(secret), modes.GCM(nonce, tag))


class _Sealing(io.RawIOBase):
    """Encrypts what is written to it."""

    def __init__(self, out: IO[bytes], cipher: Any) -> None:
        self.out, self.cipher = out, cipher

    def writable(self) -> bool:
        return True

    def write(self, content: Any) -> int:
        self.out.write(self.cipher.update(bytes(content)))
        return len(content)


class _Opening(io.RawIOBase):
    """Decrypts what is read from it."""

    def __init__(self, path: Path, cipher: Any, size: int) -> None:
        self.file, self.cipher, self.left = path.open("rb"), cipher, size
        self.file.seek(_HEAD)

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        content = self.file.read(min(len(buffer), self.left))
        self.left -= len(content)
        buffer[: len(content)] = self.cipher.update(content)
        return len(content)

    def close(self) -> None:
        self.file.close()
        super().close()
