"""A data directory: its secret and its database, made ready for the program."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

KEY_FILE = "secret-key"


def prepare(data_dir: Path) -> Path:
    """Make the directory and its secret, and set Django up on it; safe to call again."""
    data_dir = data_dir.resolve()
    data_dir.mkdir(parents=True, exist_ok=True)
    os.environ["BYLITTLE_DATA"] = str(data_dir)
    if "BYLITTLE_SECRET_KEY" not in os.environ:
        os.environ["BYLITTLE_SECRET_KEY"] = kept_secret(data_dir / KEY_FILE, 48)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bylittle.web.settings")
    import django

    django.setup()
    return data_dir


def kept_secret(path: Path, length: int) -> str:
    """The secret in a file that only its owner reads; made where there is none."""
    if not path.exists():
        path.touch(mode=0o600)
        path.write_text(secrets.token_urlsafe(length), encoding="utf-8")
    return path.read_text(encoding="utf-8").strip()


def migrate() -> None:
    """Bring the database to this version of the program."""
    from django.core.management import call_command

    call_command("migrate", verbosity=0, interactive=False)
