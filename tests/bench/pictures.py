"""Pictures as they lie in the store: drawn, cleaned and kept the way an upload is."""

from __future__ import annotations

import tempfile
from pathlib import Path

from inspect_app.photos import Stored, clean
from tests.bench.plant import Site
from tests.sheet.shapes import picture

SIZE = (1200, 900)


def stored(here: Site, number: int) -> Stored:
    """Keep the picture of this number and say how it is kept."""
    with tempfile.TemporaryDirectory() as folder:
        raw = picture(Path(folder) / "one.jpg", number, SIZE).read_bytes()
    kept: Stored = here.app.extensions["lampwalk"].photos.put(clean(raw))
    return kept
