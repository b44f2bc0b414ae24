"""A file of words is read once a run, however many applications of the tests speak it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from inspect_app import create_app
from inspect_app.words import languages
from tests.conftest import COMPILED
from tests.words import pseudo

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


@pytest.fixture
def speaking(empty_folder: Path, tmp_path: Path) -> Iterator[Flask]:
    """An application of its own with the language nobody speaks."""
    shutil.copytree(empty_folder, tmp_path / "data", ignore=shutil.ignore_patterns("lock"))
    pseudo.write(tmp_path / "data" / "words")
    made = create_app(tmp_path / "data", TESTING=False)
    made.jinja_env.bytecode_cache = COMPILED
    yield made
    made.extensions["lampwalk"].close()
