"""The pages a tablet keeps for the time without a server: they know no person, no unit and no theme.

There is one of each for a language and a way of writing numbers. What is on them is filled in by their scripts from the
tablet's own store. `version` is the name of all of it together, scripts and styles included: when it changes, there is
something newer to keep.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from babel.core import Locale, UnknownLocaleError
from flask import current_app, render_template

from inspect_app.rooms import assets, edition, tongue
from inspect_app.rooms.shown import NAVIGATION
from inspect_app.words import gettext, speaking
from inspect_app.words.languages import ENGLISH
from inspect_app.words.written import writing_as

PAGES = {
    "floor": "floor/floor.html",
    "walk": "walk/walk.html",
    "rework": "rework/rework.html",
    "again": "again/again.html",
}
KEPT = "lampwalk_shells"
MOST = 40  # ways of reading that are kept rendered
_WORKER = Path(__file__).with_name("worker.js")


@dataclass(frozen=True, kw_only=True)
class Reader:
    """For whom a page is kept: the key of a language, and the locale of numbers and dates, "" for the house's form."""

    language: str = ENGLISH
    formats: str = ""

    @property
    def query(self) -> str:
        """What an address says of it; nothing in English and the house's form."""
        told = {"language": self.language if self.language != ENGLISH else "", "formats": self.formats}
        return urlencode({name: value for name, value in told.items() if value})


def reader_here() -> Reader:
    """Who asks, by the tablet's cookies and the plant's settings."""
    return Reader(language=tongue.spoken_here().key, formats=str(tongue.formats() or ""))


def reader_asked(language: str, formats: str) -> Reader | None:
    """Who is named by an address; None for a language or a locale there is not."""
    if language not in tongue.known():
        return None
    try:
        return Reader(language=language, formats=str(Locale.parse(formats)) if formats else "")
    except (UnknownLocaleError, ValueError):
        return None


def shells(wanted: Reader) -> Mapping[str, str]:
    """The pages by their names, rendered once for everybody who reads so."""
    kept: dict[Reader, dict[str, str]] = current_app.extensions.setdefault(KEPT, {})
    if wanted not in kept:
        while len(kept) >= MOST:
            kept.pop(next(iter(kept)), None)
        kept[wanted] = {name: _rendered(template, wanted) for name, template in PAGES.items()}
    return kept[wanted]


def _rendered(template: str, wanted: Reader) -> str:
    spoken = tongue.known()[wanted.language]
    locale = Locale.parse(wanted.formats) if wanted.formats else None
    with speaking(None if spoken.key == ENGLISH else spoken.translations), writing_as(locale):
        # Said here, these come before what the request knows: its person, theme and messages stay out.
        rooms = [
            {"href": href, "label": gettext(label), "roles": roles, "here": False}
            for href, label, _room, roles in NAVIGATION
        ]
        known: dict[str, Any] = {"me": None, "rooms": rooms, "theme": "lamp", "type": "", "kept": True}
        return render_template(template, **known, **tongue.context(spoken, locale))


def version() -> str:
    """What is kept is called by its content; "" when nothing is to be kept (LAMPWALK_PLAIN).

    The pages are in somebody's language and name its words by their content, so that another language, or a sentence
    of it mended, is another version.
    """
    if current_app.config["PLAIN"]:
        return ""
    told = hashlib.sha256(f"{edition.name()}\n{_source()}\n".encode())
    for name, page in sorted(shells(reader_here()).items()):
        told.update(f"{name} {len(page)}\n{page}".encode())
    return told.hexdigest()[:16]


def worker() -> str:
    """The worker's script, told what to keep."""
    if current_app.config["PLAIN"]:
        return GONE
    here = reader_here()
    words = tongue.script_of(tongue.known()[here.language])
    query = f"?{here.query}" if here.query else ""
    kept = {
        "version": version(),
        "assets": [*assets.everything(), *([words] if words else [])],
        "shells": {name: f"/shell/{name}{query}" for name in PAGES},
    }
    return f"const KEPT = {json.dumps(kept)};\n{_source()}"


@cache
def _source() -> str:
    return _WORKER.read_text("utf-8")


# While one works on the scripts nothing may be kept: this worker throws out what an earlier one kept, and itself.
GONE = """self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("lampwalk-")) await caches.delete(name);
  await self.registration.unregister();
})()));
"""
