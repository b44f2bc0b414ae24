"""Routes of this room."""

from __future__ import annotations

from flask import Blueprint

room = Blueprint("rates", __name__, template_folder="templates")
