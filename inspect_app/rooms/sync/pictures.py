"""Pictures on their way into the store and out of it."""

from __future__ import annotations

import sqlite3
from typing import IO, Any, get_args

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import units
from inspect_app.photos import PhotoError, Size, StoreError, clean
from inspect_app.rooms.house import House
from inspect_app.words import gettext as _


def take(house: House, key: str, source: IO[bytes], length: int | None) -> dict[str, Any]:
    """Clean and store the picture of a photo that was announced; sending it again changes nothing."""
    photo = _known(house, key)
    if photo["state"] == "stored":
        return {"photo": key, "state": "stored", "sha": photo["sha"]}
    if photo["state"] == "removed":
        raise Refusal("removed", _("This photo was removed; it is not stored."), 409)
    stream = f"unit:{photo['unit']}"
    try:
        with house.journal.speech.spoken(house.journal.read()):  # why a picture is refused is kept
            stored = house.photos.put(clean(source.read()))
    except PhotoError as error:
        house.journal.record_server(stream, "photo_refused", {"photo": key, "reason": str(error)})
        raise Refusal("photo", str(error), 422) from None
    except StoreError as error:
        raise Refusal("store", str(error), 409) from None
    body = {"photo": key, "sha": stored.sha, "bytes": stored.bytes, "width": stored.width, "height": stored.height}
    house.journal.record_server(stream, "photo_stored", body)
    return {"photo": key, "state": "stored", "sha": stored.sha}


def _known(house: House, key: str) -> sqlite3.Row:
    row = units.photo(house.journal.read(), key)
    if row is None:
        raise Refusal("not_announced", _("The server has not heard of this photo yet; its marker is sent first."), 404)
    return row


def find(house: House, key: str, size: str) -> tuple[str, str]:
    """Find a stored picture: its path in the data folder and its hash."""
    photo = _known(house, key)
    if size not in get_args(Size):
        raise Refusal("size", _("'size' must be full, 600 or thumb."), 422)
    if photo["state"] != "stored":
        raise Refusal(
            "awaited",
            _("This photo is not here yet; its tablet still has it.")
            if photo["state"] == "awaited"
            else _("This photo is not kept."),
            404,
        )
    path = house.photos.path(photo["sha"], size)  # type: ignore[arg-type]
    return str(path.relative_to(house.journal.folder.path)), photo["sha"]
