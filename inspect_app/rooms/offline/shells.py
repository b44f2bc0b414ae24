"""The pages a tablet keeps for the time without a server: they know no person, no unit and no theme.

What is on them is filled in by their scripts from the tablet's own store. `version` is the name of all of it together,
scripts and styles included: when it changes, there is something newer to keep.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from flask import current_app, render_template

from inspect_app.rooms import assets, edition
from inspect_app.rooms.shown import NAVIGATION
from inspect_app.words import gettext

PAGES = {
    "floor": "floor/floor.html",
    "walk": "walk/walk.html",
    "rework": "rework/rework.html",
    "again": "again/again.html",
}
KEPT = "lampwalk_shells"
_WORKER = Path(__file__).with_name("worker.js")


def shells() -> Mapping[str, str]:
    """The pages by their names, rendered once for everybody."""
    kept: dict[str, str] | None = current_app.extensions.get(KEPT)
    if kept is None:
        kept = {name: _rendered(template) for name, template in PAGES.items()}
        current_app.extensions[KEPT] = kept
    return kept


def _rendered(template: str) -> str:
    # Said here, these come before what the request knows: its person, theme and messages stay out.
    rooms = [
        {"href": href, "label": gettext(label), "roles": roles, "here": False}
        for href, label, _room, roles in NAVIGATION
    ]
    known: dict[str, Any] = {"me": None, "rooms": rooms, "theme": "lamp", "type": "", "kept": True}
    return render_template(template, **known)


def version() -> str:
    """What is kept is called by its content; "" when nothing is to be kept (LAMPWALK_PLAIN)."""
    if current_app.config["PLAIN"]:
        return ""
    told = hashlib.sha256(f"{edition.name()}\n{_source()}\n".encode())
    for name, page in sorted(shells().items()):
        told.update(f"{name} {len(page)}\n{page}".encode())
    return told.hexdigest()[:16]


def worker() -> str:
    """The worker's script, told what to keep."""
    if current_app.config["PLAIN"]:
        return GONE
    kept = {
        "version": version(),
        "assets": assets.everything(),
        "shells": {name: f"/shell/{name}" for name in PAGES},
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
