"""A text for people that knows its translation.

The library writes every text twice, side by side. `Text` is the English string itself, so it can stand
anywhere a string stands, and gives the other language on request.
"""

from __future__ import annotations

from typing import overload

from bylittle.core.faults import BadValue

LANGUAGES = ("en", "es")


class Text(str):
    """An English text with its Spanish one: `str(text)` is English, `text.text("es")` Spanish."""

    __slots__ = ("es",)

    es: str

    def __new__(cls, en: str, es: str) -> Text:
        made = super().__new__(cls, en)
        made.es = es
        return made

    def __getnewargs__(self) -> tuple[str, str]:  # type: ignore[override]
        return (str(self), self.es)

    @overload
    def text(self, language: str) -> str: ...

    @overload
    def text(self, language: str, otherwise: str) -> str: ...

    def text(self, language: str, otherwise: str | None = None) -> str:
        """This text in `language` ("en" or "es").

        Another language gives `otherwise`; without it, `BadValue` names the languages there are, so that
        English never stands silently in a page of another language.
        """
        if language == "en":
            return str(self)
        if language == "es":
            return self.es
        if otherwise is not None:
            return otherwise
        raise BadValue(name="language", value=language, allowed=LANGUAGES)
