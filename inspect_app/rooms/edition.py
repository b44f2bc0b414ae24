"""The files for the browser as they are sent: read once, made small, joined, and named by their content.

An edition is all of them together. Its name is part of their addresses, so that a browser keeps them for a year and
never asks again; whatever changes makes a new edition. The files themselves stay what a person reads: nothing is built,
the server does this when the first page is asked for.
"""

from __future__ import annotations

import gzip
import hashlib
import logging
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from pathlib import Path

from inspect_app.rooms import smaller
from inspect_app.rooms.joined import ALL, Unjoinable, joined
from inspect_app.rooms.smaller import Unreadable

# How a template names a module: `room_url('walk', 'mount.js')`, `url_for('client', path='theme.js')`.
_NAMED = re.compile(r"""(?:room_url\('(\w+)', |url_for\('client', path=)'([\w./]+\.js)'""")
log = logging.getLogger("lampwalk.edition")

KINDS = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".png": "image/png",
}
SMALLER = {"text/javascript": smaller.script, "text/css": smaller.style}
# No part of it: the tablet's worker, sent as /sw.js, and icons, whose addresses a home screen keeps.
ELSEWHERE = ("rooms/offline/worker.js", "client/icons/")
CLASSIC = ("client/first_paint.js",)  # no module: it has to run before the first paint
COSTS = 60  # bytes that the headers of a compressed answer cost
# What every page wears, in the order in which one rule comes before another; sent as one file.
STYLES = ("tokens", "base", "buttons", "forms", "lists", "drawing", "dock", "sheetlike", "dialog", "keypad", "strip")
WORN = (*(f"client/css/{noun}.css" for noun in STYLES), "rooms/floor/keypad.css")
JOINED = "client/css/all.css"


@dataclass(frozen=True)
class Asset:
    """One file as it is sent."""

    kind: str
    content: bytes

    @cached_property
    def zipped(self) -> bytes | None:
        """The content compressed as far as it goes, or None where that saves nothing."""
        packed = gzip.compress(self.content, 9, mtime=0)
        return packed if self.kind != "image/png" and len(packed) + COSTS < len(self.content) else None


@cache
def assets() -> Mapping[str, Asset]:
    """All files by their place in the package: `client/start.js`, `rooms/walk/mount.js`, and the joined ones."""
    read = {place: path.read_bytes() for place, path in _files()}
    read[JOINED] = b"\n".join(read.pop(place) for place in WORN)
    modules = {place: read[place].decode() for place in read if place.endswith(".js") and place not in CLASSIC}
    read |= {place: text.encode() for place, text in _scripts(modules).items()}
    return {place: _asset(place, content) for place, content in read.items()}


def _scripts(texts: Mapping[str, str]) -> Mapping[str, str]:
    try:
        return joined(texts)
    except Unjoinable as fault:
        log.warning("scripts are sent one by one, which takes longer: %s", fault)
        return texts


@cache
def wanted() -> tuple[str, ...]:
    """Return the places of all that pages ask for: the modules they name, and whatever is no module by itself."""
    if f"client/{ALL}" not in assets():
        return tuple(sorted(assets()))
    pages = "\n".join(path.read_text("utf-8") for path in sorted(folder("rooms").rglob("*.html")))
    named = {f"rooms/{room}/{file}" if room else f"client/{file}" for room, file in _NAMED.findall(pages)}
    return tuple(sorted(p for p in assets() if p in named or not p.endswith(".js") or p.endswith(f"/{ALL}")))


@cache
def name() -> str:
    """What this edition is called: sixteen hexadecimal digits of the hash of all it holds."""
    told = hashlib.sha256()
    for place, asset in sorted(assets().items()):
        told.update(f"{place} {len(asset.content)}\n".encode() + asset.content)
    return told.hexdigest()[:16]


def folder(place: str) -> Path:
    """Where the files of `client` or of one room lie: `folder("rooms/walk")`."""
    return Path(str(files("inspect_app").joinpath(place))).resolve()


def _files() -> Iterator[tuple[str, Path]]:
    package = folder("")
    for top in ("client", "rooms"):
        for path in sorted((package / top).rglob("*")):
            place = path.relative_to(package).as_posix()
            if path.suffix in KINDS and not place.startswith(ELSEWHERE):
                yield place, path


def _asset(place: str, content: bytes) -> Asset:
    kind = KINDS[Path(place).suffix]
    made = SMALLER.get(kind)
    try:
        return Asset(kind, made(content.decode()).encode() if made else content)
    except Unreadable as fault:
        log.warning("%s is sent as it is: %s", place, fault)
        return Asset(kind, content)
