"""Reading what a sheet says in the drawing process: the whole history of the unit is replayed, which takes time."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, replace
from pathlib import Path

from inspect_app.journal import speech as plants_speech
from inspect_app.journal import store
from inspect_app.journal.writing import Versions
from inspect_app.photos import Store
from inspect_app.rooms.signoff import sheet_data
from inspect_app.sheet.data import SheetData, SheetError, Speech
from inspect_app.sheet.speech import spoken
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.words import gettext as _
from inspect_app.words.languages import FOLDER

_VERSIONS = Versions({}, {})  # named by their content, so they hold for every folder


@dataclass(frozen=True)
class Reading:
    """One moment of a journal that a running server owns."""

    db: sqlite3.Connection

    def read(self) -> sqlite3.Connection:
        """The reading connection."""
        return self.db

    def catalogue(self, key: str | None = None) -> Catalogue:
        """A catalogue version; None is the current one."""
        return _VERSIONS.catalogue(self.db, key)

    def outline(self, key: str) -> Outline:
        """An outline version."""
        return _VERSIONS.outline(self.db, key)


def tell(folder: Path, unit: str, revision: str) -> SheetData:
    """Read what the sheet of this revision says; raises SheetError when it was never signed."""
    db = store.connect(folder / "lampwalk.db", readonly=True)
    try:
        db.execute("BEGIN")
        speech = _speech(db, folder)
        with spoken(speech):
            found = sheet_data.read(Reading(db), Store(folder / "photos"), unit, revision)
    finally:
        db.close()
    if found is None:
        raise SheetError(_("There is no signing of this revision in the journal; run 'lampwalk verify'."))
    return replace(found, speech=speech)


def _speech(db: sqlite3.Connection, folder: Path) -> Speech:
    """How the plant speaks now, and where its own words lie."""
    told = plants_speech.told(db)
    return Speech(language=told.language, formats=str(told.formats or ""), words=str(folder / FOLDER))
