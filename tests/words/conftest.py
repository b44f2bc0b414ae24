"""A file of words is read once a run, however many applications of the tests speak it."""

from __future__ import annotations

from pathlib import Path

import pytest

from inspect_app.words import languages

READ: dict[tuple[str, ...], languages.Language] = {}
AFRESH = languages._language


def _read_once(key: str, paths: list[Path]) -> languages.Language:
    """The language of these files; a file is another one as soon as a byte of it is."""
    try:
        known = (key, *(path.read_bytes().hex() for path in paths))
    except OSError:
        return AFRESH(key, paths)
    if known not in READ:
        READ[known] = AFRESH(key, paths)
    return READ[known]


@pytest.fixture(autouse=True, scope="session")
def spoken_without_reading_again():
    """For all tests of this folder."""
    patched = pytest.MonkeyPatch()
    patched.setattr(languages, "_language", _read_once)
    yield
    patched.undo()
