"""Whatever goes wrong becomes one sentence: a page for a person, JSON for a program, a log line without secrets."""

from __future__ import annotations

import logging
import sqlite3

from flask import Flask, jsonify, render_template, request
from flask.typing import ResponseReturnValue
from werkzeug.exceptions import HTTPException

from inspect_app.journal.events import Refusal
from inspect_app.rooms.doors import speaks_json
from inspect_app.words import N_
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.faults")

SENTENCES = {
    400: N_("The request could not be read; reload the page and try again."),
    404: N_("There is nothing at this address; go back to the floor."),
    405: N_("This address does not take that; reload the page and try again."),
    413: N_("This is too large; a photo may have 40 MB, anything else 10 MB."),
    415: N_("This kind of content is not taken here."),
}
OTHERWISE = N_("The server could not do this; try again, then tell the manager.")


def attach(app: Flask) -> None:
    """Answer every fault."""
    app.register_error_handler(Refusal, _refused)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _broken)


def _refused(refusal: Refusal) -> ResponseReturnValue:
    log.info("refused %s %r: %s", request.method, request.path, refusal.code)  # %r: an address may hold a line break
    return answer(refusal.status, refusal.code, refusal.reason)


def _http(fault: HTTPException) -> ResponseReturnValue:
    if fault.code is not None and 300 <= fault.code < 400:
        return fault
    code = fault.code or 500
    return answer(code, f"http_{code}", _(SENTENCES.get(code, OTHERWISE)))


def _broken(fault: Exception) -> ResponseReturnValue:
    if isinstance(fault, RecursionError) and request.is_json:
        return answer(422, "malformed", _("The body holds lists in lists without end; update the tablet."))
    log.error("a fault at %s %r", request.method, request.path, exc_info=fault)
    if isinstance(fault, sqlite3.OperationalError) and "full" in str(fault):
        return answer(
            500,
            "disk_full",
            _("The server's disk is full: nothing more can be kept there. Tell the manager; tablets keep their work."),
        )
    return answer(
        500, "fault", _("The server has a fault of its own; it has been noted. Nothing you kept is lost; try again.")
    )


def answer(status: int, code: str, message: str, field: str | None = None) -> ResponseReturnValue:
    """Say it in the caller's language."""
    if speaks_json():
        return jsonify(error={"code": code, "message": message, "field": field}), status
    titles = {
        401: _("Not signed in"),
        403: _("Not yours to do"),
        404: _("Not found"),
        409: _("Not as it was"),
        413: _("Too large"),
        422: _("Not quite"),
    }
    title = titles.get(status) or _("That did not work")
    return render_template("problem.html", title=title, sentence=message), status
