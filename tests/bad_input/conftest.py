"""One plant for each file of hostile input: nothing sent to it may change it, so that all of the file can share it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from ground import Ground

from inspect_app import create_app
from tests.compiled import COMPILED


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory, pin_hash: str) -> Iterator[Ground]:
    """The plant under attack; at the end its history must still be whole."""
    app = create_app(tmp_path_factory.mktemp("ground") / "data", TESTING=False)
    app.jinja_env.bytecode_cache = COMPILED
    made = Ground(app, pin_hash)
    yield made
    made.is_whole()
    app.extensions["lampwalk"].close()
