"""The language of a sheet, spoken in the process that draws it: it is told a key and a folder, and reads the words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import lru_cache
from pathlib import Path

from babel.core import Locale, UnknownLocaleError

from inspect_app.sheet.data import SheetError, Speech
from inspect_app.words import speaking
from inspect_app.words.languages import ENGLISH, Language, Unreadable, languages
from inspect_app.words.written import writing_as


@contextmanager
def spoken(speech: Speech) -> Iterator[None]:
    """Speak a sheet's language and write its way within; one there is not is English, in the house's own form.

    Raises SheetError for a file of words that cannot be read.
    """
    found = None if speech.language in ("", ENGLISH) else _known(speech.words).get(speech.language)
    with speaking(found.translations if found else None), writing_as(_locale(speech.formats)):
        yield


def tag(speech: Speech) -> str:
    """The language of a file as readers want it told (BCP 47): en, de, pt-BR."""
    return (speech.language or ENGLISH).replace("_", "-")


@lru_cache(maxsize=4)  # read once, as the server does: a new file of words is known after its next start
def _known(folder: str | None) -> Mapping[str, Language]:
    try:
        return languages(Path(folder) if folder else None)
    except Unreadable as fault:
        raise SheetError(str(fault)) from None


def _locale(formats: str) -> Locale | None:
    with suppress(UnknownLocaleError, ValueError):
        return Locale.parse(formats)
    return None
