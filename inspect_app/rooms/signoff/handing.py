"""Handing out sheets: the stored file under its unit and revision, and the button that makes one again."""

from __future__ import annotations

import re
import sqlite3

from flask import Response, jsonify, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import sheets
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import house, reader, unit_or_404
from inspect_app.rooms.signoff.routes import room
from inspect_app.words import gettext as _

FOR_EVER = "private, max-age=31536000, immutable"
PAPERS = ("a4", "letter")


@room.get("/sheets/<unit>/<revision>.pdf")
def sheet(unit: str, revision: str) -> ResponseReturnValue:
    """Hand out a sheet, in the paper its plant had at the signing or the other; what was once issued never changes."""
    van, row = unit_or_404(unit), _sheet(unit, revision)
    paper = request.args.get("paper", row["paper"])
    if paper not in PAPERS:
        raise Refusal("paper", _("'paper' must be a4 or letter (got '%(paper)s').", paper=paper[:20]))
    if row["state"] != "issued":
        raise Refusal(
            "making", _("Sheet %(revision)s is signed and not made yet; try again in a moment.", revision=revision), 404
        )
    path = house().press.shelf.path(row[paper])
    headers = {
        "X-Lampwalk-File": str(path.relative_to(house().journal.folder.path)),
        "ETag": f'"{row[paper]}"',
        "Cache-Control": FOR_EVER,
        "Content-Disposition": f'inline; filename="{file_name(van, row, paper)}"',
    }
    return Response(headers=headers, mimetype="application/pdf")


@room.post("/sheets/<unit>/<revision>/make")
@needs("inspector", "manager")
def make_again(unit: str, revision: str) -> ResponseReturnValue:
    """Ask once more for a sheet that could not be made."""
    unit_or_404(unit)
    row = _sheet(unit, revision)
    if row["state"] == "making":
        house().press.submit(unit, revision)
    return jsonify(unit=unit, revision=revision, state=row["state"])


def _sheet(unit: str, revision: str) -> sqlite3.Row:
    row = sheets.sheet(reader(), unit, revision)
    if row is None:
        raise Refusal("no_sheet", _("This unit was never signed under that revision."), 404)
    return row


def file_name(van: sqlite3.Row, row: sqlite3.Row, paper: str) -> str:
    """Last six, build number, revision: "047312_HB-101_A.pdf", in plain letters; the other paper is named too."""
    build = re.sub(r"[^A-Za-z0-9.-]+", "-", van["build_number"]).strip("-.")
    parts = [van["last_six"], build, row["revision"], "" if paper == row["paper"] else paper]
    return f"{'_'.join(part for part in parts if part)}.pdf"
