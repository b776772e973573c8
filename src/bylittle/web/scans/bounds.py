"""How much one upload may hold. What is too much is left out and told; the other files are not lost."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, SkipFile

MOST_FILES = 24
LARGEST_FILE = 40_000_000  # bytes
MOST_BYTES = 200_000_000  # of all files of one upload
MOST_PICTURES = 60  # pages of PDFs count one each

TOO_LARGE = "This file is larger than {most} MB. Send the photo in the phone's normal size."
TOO_MUCH = (
    "Too much at once: {files} files and {most} MB together at most. The others came in; send this one again."
)
TOO_MANY_PICTURES = "Too much at once: {most} pictures at most. The others came in; send this one again."


class Bounds(FileUploadHandler):
    """Stands before the other handlers and leaves out what is over a bound; `left_out`: (name, why)."""

    def __init__(self, request: Any = None) -> None:
        super().__init__(request)
        self.left_out: list[tuple[str, str]] = []
        self.files = self.bytes = self.size = 0

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.files, self.size = self.files + 1, 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        self.size += len(raw_data)
        self.bytes += len(raw_data)
        if why := self._over():
            self.bytes -= self.size
            self.left_out.append((str(self.file_name), why))
            raise SkipFile
        return raw_data

    def _over(self) -> str:
        if self.size > LARGEST_FILE:
            return TOO_LARGE.format(most=LARGEST_FILE // 1_000_000)
        if self.files > MOST_FILES or self.bytes > MOST_BYTES:
            return TOO_MUCH.format(files=MOST_FILES, most=MOST_BYTES // 1_000_000)
        return ""

    def file_complete(self, file_size: int) -> None:
        return None
