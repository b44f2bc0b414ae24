"""The room itself: signing in and out, and admitting a tablet."""

from __future__ import annotations

from flask import Blueprint

room = Blueprint("people", __name__, template_folder="templates")
