"""The command behind `make demo`: makes the plant once, serves it, says where and who may sign in."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from inspect_app.journal import Journal
from sample_units import demo
from tests.conftest import no_more_than

ROOT = Path(__file__).resolve().parents[2]


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


def test_the_command_makes_serves_and_presses_the_sheets(tmp_path):
    command = [sys.executable, "-m", "sample_units.demo", "--data", str(tmp_path / "new"), "--port", "0", "--small"]
    with subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONUTF8": "1"}
    ) as run:
        try:
            with no_more_than(280):
                said = read_until_served(run)
                address = re.search(r"http://127\.0\.0\.1:\d+", said)[0]
                assert "Nguyễn Thanh Bình" in said
                assert "2468" in said
                assert json.load(urllib.request.urlopen(f"{address}/healthz"))["ok"]
                wait_for_sheets(tmp_path / "new", 4)
        finally:
            run.send_signal(signal.SIGINT)
        assert run.wait(60) == 0


def read_until_served(run: subprocess.Popen) -> str:
    said = ""
    for line in run.stdout:
        said += line
        if "Lampwalk serves" in line:
            break
    return said


def wait_for_sheets(folder: Path, many: int) -> None:
    """Two vans were signed; each sheet is made in two papers."""
    while len(list((folder / "sheets").glob("*.pdf"))) < many:
        time.sleep(0.2)
