"""Routes of this room."""

from __future__ import annotations

from flask import Blueprint

room = Blueprint("again", __name__, template_folder="templates")
