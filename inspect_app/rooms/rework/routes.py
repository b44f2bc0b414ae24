"""Pages of the rework room: shells that show what the client modules bring, so that it is there offline too."""

from __future__ import annotations

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from inspect_app.words import N_

room = Blueprint("rework", __name__, template_folder="templates")


@room.get("/rework")
@room.get("/rework/<job>")
def rework(job: str | None = None) -> ResponseReturnValue:
    """Show the jobs of one's departments; with `job`, that one opened. The script reads the address itself."""
    return render_template("rework/rework.html", more_entries=[{"href": "/plans", "label": N_("Plans")}])
