"""Files for the browser: the shared modules under /client, each room's own under /rooms/<room>."""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from flask import Flask, Response, abort, request, url_for

KINDS = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".png": "image/png",
}


def attach(app: Flask) -> None:
    """Serve the files and help templates to name them."""
    app.add_url_rule("/client/<path:path>", "client", client)
    app.add_url_rule("/rooms/<room>/<path:path>", "room_file", room_file)
    app.template_global("room_url")(room_url)


def room_url(room: str, path: str) -> str:
    """Address of a room's own script or style."""
    return url_for("room_file", room=room, path=path)


def client(path: str) -> Response:
    """A shared browser file."""
    return _send("inspect_app.client", path)


def room_file(room: str, path: str) -> Response:
    """A script or style of one room."""
    if not room.isidentifier():
        abort(404)
    try:
        return _send(f"inspect_app.rooms.{room}", path)
    except ModuleNotFoundError:
        abort(404)


@cache
def _folder(package: str) -> Path:
    return Path(str(files(package))).resolve()


def _send(package: str, path: str) -> Response:
    folder = _folder(package)
    file = (folder / path).resolve()
    if file.suffix not in KINDS or not file.is_relative_to(folder) or not file.is_file():
        abort(404)
    content = _content(file, file.stat().st_mtime_ns)
    response = Response(content, mimetype=KINDS[file.suffix])
    response.set_etag(hashlib.sha256(content).hexdigest()[:24])
    response.headers["Cache-Control"] = "no-cache"
    made: Any = response.make_conditional(request)
    return made  # type: ignore[no-any-return]


@cache
def _content(file: Path, _changed: int) -> bytes:
    return file.read_bytes()
