"""The command behind `make demo` where there is a plant already, or no place for one; test_follow.py has the rest."""

from __future__ import annotations

from pathlib import Path

import pytest

from inspect_app.journal import Journal
from sample_units import demo


@pytest.fixture
def foreign(tmp_path) -> Path:
    """A plant that is not the demo's."""
    with Journal(tmp_path / "data"):
        pass
    return tmp_path / "data"


def test_a_folder_with_a_plant_in_it_is_left_as_it_is(foreign, monkeypatch, capsys):
    monkeypatch.setattr(demo, "make", lambda folder, small: pytest.fail("it was made anew"))

    assert demo.main(["--data", str(foreign), "--no-serve"]) == 0
    assert "Sign in as" not in capsys.readouterr().out


def test_a_build_that_was_broken_off_leaves_no_half_of_a_plant(tmp_path, monkeypatch):
    def broken(folder, now, *, small):
        folder.mkdir()
        (folder / "lampwalk.db").write_text("half")
        raise OSError("the disk is full")

    monkeypatch.setattr(demo, "build", broken)

    assert demo.main(["--data", str(tmp_path / "data"), "--no-serve"]) == 1
    assert demo.is_empty(tmp_path / "data")


def test_a_folder_in_use_is_one_sentence_and_no_trace(foreign, capsys):
    with Journal(foreign):
        assert demo.main(["--data", str(foreign), "--no-serve"]) == 1

    said = capsys.readouterr().err
    assert "Another Lampwalk is using" in said
    assert "Traceback" not in said
