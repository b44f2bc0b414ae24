"""The door of the room of readings: its blueprint, on which the other files hang their routes."""

from __future__ import annotations

from flask import Blueprint

room = Blueprint("readings", __name__, template_folder="templates")
WORKERS = ("technician", "inspector", "manager")
