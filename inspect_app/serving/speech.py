"""In which language the shell itself answers.

It answers by itself when a request never reaches the application: too large, too slow, or not a request at all. It
knows no person and no plant, so whoever starts it brings along somebody who can tell from a Cookie header.
"""

from __future__ import annotations

from collections.abc import Callable
from gettext import NullTranslations

Tongue = Callable[[str], NullTranslations | None]
"""From a Cookie header, or "" where none was read, to the language; None is English. Called often, so no database."""


def SILENT(_cookies: str) -> None:  # noqa: N802 - a constant that is called
    """Nobody told: English."""
