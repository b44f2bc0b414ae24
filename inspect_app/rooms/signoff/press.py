"""Makes sheets outside the request."""

from __future__ import annotations

from inspect_app.journal import Journal
from inspect_app.photos import Store


class Press:
    """Makes sheets outside the request."""

    def __init__(self, journal: Journal, photos: Store):
        self._journal = journal
        self._photos = photos

    def take_up(self) -> None:
        """Make the sheets that were signed for and not made."""

    def close(self) -> None:
        """Let what runs finish."""
