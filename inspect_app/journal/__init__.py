"""The one way in: an append-only stream of events for each unit and one for the plant, and the tables projected from them."""

from inspect_app.journal.events import Answer, Refusal
from inspect_app.journal.journal import Journal

__all__ = ["Answer", "Journal", "Refusal"]
