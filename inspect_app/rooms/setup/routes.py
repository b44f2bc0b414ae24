"""Setup: plain pages, one noun each."""

from __future__ import annotations

from flask import render_template
from flask.typing import ResponseReturnValue

from inspect_app.rooms.doors import needs
from inspect_app.rooms.setup.door import GROUPS, room

__all__ = ["room"]


@room.get("/setup")
@needs("manager")
def index() -> ResponseReturnValue:
    """List the pages of the setup."""
    return render_template("setup/index.html", groups=GROUPS)


from inspect_app.rooms.setup import (  # noqa: E402, F401  (they register themselves)
    catalogue,
    catalogue_file,
    catalogue_limits,
    catalogue_rows,
    catalogue_versions,
    gauge,
    handout,
    outbox,
    outlines,
    outlines_new,
    people,
    plant,
    rules,
    tablets,
    units,
)
