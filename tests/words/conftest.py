"""An application that speaks the language nobody speaks."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from inspect_app import create_app
from tests.compiled import COMPILED
from tests.words import pseudo


@pytest.fixture
def speaking(empty_folder: Path, tmp_path: Path) -> Iterator[Flask]:
    """An application of its own with the language nobody speaks."""
    shutil.copytree(empty_folder, tmp_path / "data", ignore=shutil.ignore_patterns("lock"))
    pseudo.write(tmp_path / "data" / "words")
    made = create_app(tmp_path / "data", TESTING=False)
    made.jinja_env.bytecode_cache = COMPILED
    yield made
    made.extensions["lampwalk"].close()
