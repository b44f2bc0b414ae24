"""The web: one folder for each step of the job, each with its routes, forms, templates, script and style."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta
from importlib import import_module
from pathlib import Path
from typing import Any

from flask import Flask
from flask_wtf import CSRFProtect
from werkzeug.routing import Rule

from inspect_app.journal import Journal
from inspect_app.journal.tickets import secret
from inspect_app.photos import Store
from inspect_app.rooms import assets, doors, faults, shown, squeeze, tongue
from inspect_app.rooms.cookies import Sessions
from inspect_app.rooms.house import House
from inspect_app.rooms.json_in import JsonIn
from inspect_app.words.languages import FOLDER, languages

ROOMS = (
    *("floor", "walk", "rework", "again", "signoff", "rates", "setup", "people", "units", "questions", "sync"),
    *("parts", "plan", "readings", "offline"),
)

csrf = CSRFProtect()


class Route(Rule):
    """An address whose writer is compiled when it is first written: for all of them that is half of a start."""

    def _compile_builder(self, append_unknown: bool = True) -> Callable[..., tuple[str, str]]:
        compiled = super()._compile_builder
        made: list[Callable[..., tuple[str, str]]] = []

        def write(rule: Rule, /, **values: Any) -> tuple[str, str]:
            if not made:
                made.append(compiled(append_unknown))
            return made[0](rule, **values)

        return write


def build(data_dir: Path, options: Mapping[str, object], journal: Journal | None = None) -> Flask:
    """Wire the rooms to one journal: the one on the folder, or one that is open on it already.

    Raises Unreadable, in one sentence, for a language of the plant's own that cannot be read.
    """
    spoken = languages(data_dir / FOLDER)  # first of all: nothing is left open when it cannot be read
    journal = journal or Journal(data_dir)
    app = Flask("inspect_app.rooms", static_folder=None)
    app.url_rule_class = Route
    app.url_map.merge_slashes = False  # an address with a slash too many is no address; JSON routes never redirect
    app.config.update(
        SECRET_KEY=secret(journal.folder.path, "session.key"),
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_NAME="lampwalk",
        PERMANENT_SESSION_LIFETIME=timedelta(hours=14),
        SESSION_REFRESH_EACH_REQUEST=False,  # it ends with its ticket anyway; half a kilobyte less on each answer
        MAX_CONTENT_LENGTH=40 * 2**20,
        WTF_CSRF_TIME_LIMIT=None,
        WTF_I18N_ENABLED=False,  # faults of fields are sentences of our own, in the one catalogue
        WTF_CSRF_CHECK_DEFAULT=False,  # doors.py asks for the token on forms, for Origin and header on JSON
    )
    app.config.from_mapping(options)
    app.session_interface = Sessions()
    app.extensions["lampwalk"] = House(journal=journal, photos=Store(journal.folder.photos))
    csrf.init_app(app)
    app.json = json = JsonIn(app)
    json.sort_keys = False
    tongue.attach(app, spoken)
    for part in (squeeze, doors, faults, assets, shown):
        part.attach(app)
    for room in ROOMS:
        app.register_blueprint(import_module(f"inspect_app.rooms.{room}.routes").room)
    return app
