"""What makes Lampwalk an app on the tablet: its description, its worker, its pages without anybody on them."""

from __future__ import annotations

import json

from flask import Blueprint, Response, abort, current_app, request

from inspect_app.rooms.offline import shells
from inspect_app.words import gettext as _
from inspect_app.words.languages import ENGLISH

room = Blueprint("offline", __name__)
SIZES = (192, 512)


@room.get("/manifest.webmanifest")
def manifest() -> Response:
    """Describe the app for the home screen."""
    icons = [
        {"src": f"/client/icons/{name}{size}.png", "sizes": f"{size}x{size}", "type": "image/png",
         "purpose": purpose}
        for name, purpose in (("ring-", "any"), ("whole-", "maskable"))
        for size in SIZES
    ]  # fmt: skip
    told = {
        "id": "/",
        "name": "Lampwalk",
        "short_name": "Lampwalk",
        "description": _("Marks on a van under the lamps, and what becomes of them."),
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#0d1313",
        "theme_color": "#0d1313",
        "icons": icons,
    }
    return _fresh(json.dumps(told), "application/manifest+json")


@room.get("/sw.js")
def worker() -> Response:
    """The worker that keeps the app on the tablet. It is asked for anew each time: it says what there is to keep."""
    return _fresh(shells.worker(), "text/javascript")


@room.get("/shell/<page>")
def shell(page: str) -> Response:
    """One page of the app that knows nobody, for the worker to keep; `language` and `formats` say in which tongue."""
    wanted = shells.reader_asked(request.args.get("language", ENGLISH), request.args.get("formats", ""))
    if page not in shells.PAGES or wanted is None or current_app.config["PLAIN"]:
        abort(404)
    return _fresh(shells.shells(wanted)[page], "text/html")


def _fresh(text: str, kind: str) -> Response:
    response = Response(text, mimetype=kind)
    response.headers["Cache-Control"] = "no-cache"
    response.add_etag()
    return response


@room.after_app_request
def _say_version(response: Response) -> Response:
    """Each page says which version of the app it belongs to, for the worker to compare."""
    if response.mimetype == "text/html" and response.status_code == 200 and not current_app.config["PLAIN"]:
        response.headers["X-Lampwalk-Version"] = shells.version()
    return response
