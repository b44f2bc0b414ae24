"""One plant for each file of hostile input: nothing sent to it may change it, so that all of the file can share it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from ground import Ground

from inspect_app import create_app
from tests.compiled import COMPILED
from tests.conftest import Client


@pytest.fixture(scope="module")
def ground(empty_folder: Path, tmp_path_factory: pytest.TempPathFactory, pin_hash: str) -> Iterator[Ground]:
    """The plant under attack; at the end its history must still be whole."""
    folder = tmp_path_factory.mktemp("ground") / "data"
    shutil.copytree(empty_folder, folder, ignore=shutil.ignore_patterns("lock"))
    app = create_app(folder, TESTING=False)
    app.jinja_env.bytecode_cache = COMPILED
    app.test_client_class = Client
    made = Ground(app, pin_hash)
    yield made
    made.is_whole()
    app.extensions["lampwalk"].close()
