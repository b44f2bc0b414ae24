"""The door of the units' room: its blueprint, on which the other files hang their routes."""

from __future__ import annotations

from flask import Blueprint

room = Blueprint("units", __name__, template_folder="templates")
