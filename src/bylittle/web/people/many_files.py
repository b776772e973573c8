"""A form field for several files at once."""

from __future__ import annotations

from typing import Any

from django import forms

MOST_FILES = 24


class ManyFilesInput(forms.ClearableFileInput):
    allow_multiple_selected = True


class ManyFilesField(forms.FileField):
    """Several files in one field; each is checked. `largest`: bytes of one file."""

    def __init__(self, *, largest: int, most: int = MOST_FILES, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.largest, self.most = largest, most

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        given = data if isinstance(data, list | tuple) else [data]
        files = [file for file in (super(ManyFilesField, self).clean(one, initial) for one in given) if file]
        if len(files) > self.most:
            raise forms.ValidationError(f"{len(files)} files are too many at once: {self.most} at most.")
        large = [file.name for file in files if file.size > self.largest]
        if large:
            raise forms.ValidationError(f"Too large for a photograph: {', '.join(large)}. Nothing was read.")
        return files
