"""The plant's own language, in which the journal keeps its sentences, and its way of writing figures.

What is kept is read by everyone: the words of a spot, a verdict, why something was refused, what is asked. The journal
knows no files of words; whoever opens it for people brings the languages along (rooms/tongue.py). None brought, or none
set: English. Rebuilding copies what was kept, so that nothing here can change the past.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from gettext import NullTranslations
from typing import NamedTuple

from babel.core import Locale, UnknownLocaleError

from inspect_app.journal.events import Stored
from inspect_app.journal.queries import setup
from inspect_app.words import speak, speaking
from inspect_app.words.written import write_as, writing_as


class Told(NamedTuple):
    """What the settings say: the key of a language, "" for none, and the locale that figures are written by."""

    language: str = ""
    formats: Locale | None = None


class Speech:
    """Knows how the plant speaks. The settings are read when one of them may have changed, not with every commit."""

    def __init__(self) -> None:
        self.languages: Mapping[str, NullTranslations] = {}  # by key, without English
        self._told = Told()
        self._stale = True

    def begin(self, db: sqlite3.Connection) -> None:
        """Speak so in the writer's thread, for the commit that begins."""
        if self._stale:
            self._told, self._stale = told(db), False
        speak(self.plants())
        write_as(self._told.formats)

    def written(self, event: Stored) -> None:
        """Keep up with what is written: a changed setting counts from the next commit on."""
        if event.type == "setting_changed":
            self._stale = True

    def plants(self) -> NullTranslations | None:
        """The plant's language as of the last commit; None is English."""
        return self.languages.get(self._told.language)

    @contextmanager
    def spoken(self, db: sqlite3.Connection) -> Iterator[None]:
        """Speak as the plant does in any other thread, for what is going to be kept."""
        found = told(db) if self._stale else self._told
        with speaking(self.languages.get(found.language)), writing_as(found.formats):
            yield


def told(db: sqlite3.Connection) -> Told:
    """Read the settings; a language other than English brings its way of writing along when none is set."""
    found = setup.settings(db)
    language = found.get("language", "")
    for asked in (found.get("formats", ""), "" if language == "en" else language):
        with suppress(UnknownLocaleError, ValueError):
            return Told(language, Locale.parse(asked))
    return Told(language)
