"""Files for the browser: the shared modules under /client, each room's own under /rooms/<room>.

Pages name them at `/e/<edition>/…`, where they are small and may be kept for a year (edition.py). At the plain
addresses they are served as they lie in the folders, to be read; with LAMPWALK_PLAIN=1 in the environment pages name
those.
"""

from __future__ import annotations

import hashlib
import os
from functools import cache
from pathlib import Path
from typing import Any

from flask import Flask, Response, abort, current_app, request, url_for

from inspect_app.rooms import edition as editions
from inspect_app.rooms.edition import JOINED, KINDS, WORN

FOR_EVER = "max-age=31536000, immutable"
ENDPOINTS = frozenset({"client", "room_file"})


def attach(app: Flask) -> None:
    """Serve the files and help templates to name them."""
    app.config.setdefault("PLAIN", os.environ.get("LAMPWALK_PLAIN", "") not in ("", "0"))
    for start in ("", "/e/<edition>"):
        app.add_url_rule(f"{start}/client/<path:path>", "client", client)
        app.add_url_rule(f"{start}/rooms/<room>/<path:path>", "room_file", room_file)
    app.url_defaults(_in_this_edition)
    app.template_global("room_url")(room_url)
    app.template_global("worn")(worn)


def _in_this_edition(endpoint: str, values: dict[str, Any]) -> None:
    if endpoint in ENDPOINTS and not current_app.config["PLAIN"]:
        values.setdefault("edition", editions.name())


def room_url(room: str, path: str) -> str:
    """Address of a room's own script or style."""
    return url_for("room_file", room=room, path=path)


def worn() -> list[str]:
    """Addresses of the styles that every page wears."""
    return [address(place) for place in (WORN if current_app.config["PLAIN"] else (JOINED,))]


def address(place: str) -> str:
    """Address of a file by its place in the package, `client/start.js` or `rooms/walk/mount.js`."""
    top, _, rest = place.partition("/")
    if top == "client":
        return url_for("client", path=rest)
    room, _, path = rest.partition("/")
    return room_url(room, path)


def everything() -> list[str]:
    """Addresses of all that pages of this edition ask for, for whoever keeps it on a tablet; none when plain."""
    return [] if current_app.config["PLAIN"] else [address(place) for place in editions.wanted()]


def client(path: str, edition: str | None = None) -> Response:
    """A shared browser file."""
    return _kept(f"client/{path}", edition) if edition else _plain("client", path)


def room_file(room: str, path: str, edition: str | None = None) -> Response:
    """A script or style of one room."""
    if not room.isidentifier():
        abort(404)
    return _kept(f"rooms/{room}/{path}", edition) if edition else _plain(f"rooms/{room}", path)


def _kept(place: str, edition: str) -> Response:
    asset = editions.assets().get(place)
    # Another edition's page must not be given this one's modules: half of each would be worse than none.
    if asset is None or edition != editions.name():
        abort(404)
    zipped = asset.zipped if "gzip" in request.headers.get("Accept-Encoding", "") else None
    response = Response(asset.content if zipped is None else zipped, mimetype=asset.kind)
    response.headers["Cache-Control"] = FOR_EVER
    if asset.zipped is not None:
        response.vary.add("Accept-Encoding")
    if zipped is not None:
        response.headers["Content-Encoding"] = "gzip"
    return response


@cache
def _folder(place: str) -> Path:
    return editions.folder(place)


def _plain(place: str, path: str) -> Response:
    folder = _folder(place)
    file = (folder / path).resolve()
    if file.suffix not in KINDS or not file.is_relative_to(folder) or not file.is_file():
        abort(404)
    content = file.read_bytes()
    response = Response(content, mimetype=KINDS[file.suffix])
    response.set_etag(hashlib.sha256(content).hexdigest()[:24])
    response.headers["Cache-Control"] = "no-cache"
    made: Any = response.make_conditional(request)
    return made  # type: ignore[no-any-return]
