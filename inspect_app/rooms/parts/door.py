"""The door of the room of parts: its blueprint, on which the other files hang their routes."""

from __future__ import annotations

from flask import Blueprint

room = Blueprint("parts", __name__, template_folder="templates")
WORKERS = ("technician", "inspector", "manager")
