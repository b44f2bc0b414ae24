"""The tutorial is true: the command makes the demo, and there its van goes by touch from the list to the sheet, with one
picture a step."""

from __future__ import annotations

import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from flask import Flask
from pypdf import PdfReader

from inspect_app import create_app
from inspect_app.journal import Journal
from inspect_app.journal.verify import verify
from inspect_app.serving import running
from sample_units.follow import follow
from sample_units.hands import Hands, admit
from sample_units.people import cast
from sample_units.shots import Camera
from tests.conftest import no_more_than
from tests.rooms.desk import Desk
from tests.sample_units import more_than_one as more

ROOT = Path(__file__).resolve().parents[2]
TUTORIAL = (ROOT / "docs" / "tutorial.md").read_text("utf-8")


@dataclass(frozen=True, kw_only=True)
class Commanded:
    """What `make demo` left, said and answered before it was told to stop."""

    folder: Path
    said: str
    health: dict[str, object]
    sheets: int
    exit_code: int


@pytest.fixture(scope="module")
def commanded(tmp_path_factory) -> Commanded:
    """The demo as its command makes, serves and ends it, with small photos."""
    folder = tmp_path_factory.mktemp("commanded") / "demo"
    command = [sys.executable, "-m", "sample_units.demo", "--data", str(folder), "--port", "0", "--small"]
    environment = {**os.environ, "PYTHONUTF8": "1"}
    with (
        no_more_than(270),
        subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, env=environment) as run,
    ):
        try:
            said = read_until_served(run)
            address = re.search(r"http://127\.0\.0\.1:\d+", said)[0]
            health = json.load(urllib.request.urlopen(f"{address}/healthz"))
            sheets = wait_for_sheets(folder, 4)
        finally:
            run.send_signal(signal.SIGINT)
        return Commanded(folder=folder, said=said, health=health, sheets=sheets, exit_code=run.wait(60))


def read_until_served(run: subprocess.Popen) -> str:
    said = ""
    for line in run.stdout:
        said += line
        if "Lampwalk serves" in line:
            break
    return said


def wait_for_sheets(folder: Path, many: int) -> int:
    """Wait until so many sheets are pressed; return how many there are then."""
    while len(list((folder / "sheets").glob("*.pdf"))) < many:
        time.sleep(0.2)
    return len(list((folder / "sheets").glob("*.pdf")))


def test_the_command_makes_serves_and_presses_the_sheets(commanded):
    assert "Nguyễn Thanh Bình" in commanded.said
    assert "2468" in commanded.said
    assert commanded.health["ok"]
    assert commanded.sheets == 4, "two vans were signed; each sheet is made in two papers"
    assert commanded.exit_code == 0


def test_every_picture_of_the_docs_is_shown_on_a_page():
    pages = "".join(page.read_text("utf-8") for page in [ROOT / "README.md", *(ROOT / "docs").glob("*.md")])
    shown = {Path(name).name for name in re.findall(r"shots/[\w-]+\.png", pages)}

    assert shown == {file.name for file in (ROOT / "docs" / "shots").glob("*.png")}


def the_rest(journal: Journal, unit: str) -> None:
    """Ines looks at what her walk still lacks, on another tablet."""
    db = journal.read()
    ines = db.execute("SELECT id FROM people WHERE name = 'Ines Okafor'").fetchone()["id"]
    walk = db.execute("SELECT id FROM walks WHERE unit = ? AND state = 'walking'", (unit,)).fetchone()["id"]
    told = Hands(journal, ines, admit(journal), ("inspector",), ()).look_everywhere(unit, walk)
    assert len(told) > 100
    assert {answer.outcome for answer in told} == {"applied"}


@pytest.mark.browser
@pytest.mark.timeout(600)
def test_the_van_of_the_tutorial_gets_its_sheet_by_touch(commanded, chromium):
    app = create_app(commanded.folder)
    house = app.extensions["lampwalk"]
    house.open()
    taken: list[str] = []
    with running(app.wsgi_app, data_dir=commanded.folder) as address:
        camera = Camera(chromium, address, house)
        pdf = follow(
            lambda who, path: camera.open(who, path, "wide", "day"),
            lambda _, name: taken.append(name),
            lambda unit: the_rest(house.journal, unit),  # every zone by touch is test_walk_going.py
        )
    house.close()

    assert taken == re.findall(r"shots/step-\d\d-([\w-]+)\.png", TUTORIAL)
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    assert all(word in text for word in ("ZZKLH3VB8TD310455", "Ines Okafor", "Per Halvorsen", "Łukasz Brandt"))
    told = verify(commanded.folder)
    assert told.clean, told.sentence


# ------------------------------------------------------------------ section 6, on a copy of the demo

MORE = TUTORIAL.partition("## 6. More than one polish")[2].partition("\n## ")[0]
PINS = {person.name: person.pin for person in cast()}


@pytest.fixture(scope="module")
def demo(commanded, tmp_path_factory) -> Iterator[tuple[Flask, more.Plant]]:
    """The application on a copy of what the command left."""
    folder = tmp_path_factory.mktemp("more") / "demo"
    shutil.copytree(commanded.folder, folder, ignore=shutil.ignore_patterns("lock"))
    app = create_app(folder)
    house = app.extensions["lampwalk"]
    house.open()
    yield app, more.Plant(house)
    house.close()


@pytest.fixture(scope="module")
def as_(demo) -> more.As:
    """Somebody of the demo at a desk, signed in with the PIN of the table."""
    app, plant = demo

    @cache
    def sign_in(who: str) -> Desk:
        name, client = next(name for name in PINS if name.startswith(who)), app.test_client()
        told = {"person": plant.value("SELECT id FROM people WHERE name = ?", name), "pin": PINS[name]}
        assert client.post("/sign-in", json=told, headers={"X-Lampwalk": "1"}).status_code == 200
        return Desk(client)

    return sign_in


def test_the_parts_of_section_six_are_all_followed_here():
    heads = re.findall(r"^\*\*([^*]+)\.\*\*", MORE, re.M)

    assert heads == ["A part that leaves the van", "A reading", "A plan", "A barred polish", "A water test"]


@pytest.mark.parametrize(
    ("head", "follows"),
    [
        ("A part that leaves the van", more.a_part_that_leaves),
        ("A reading", more.a_reading),
        ("A plan", more.a_plan),
        ("A water test", more.a_water_test),
    ],
)
def test_what_section_six_says_is_what_the_demo_says(demo, as_, head, follows):
    text = more.Paragraph(MORE, head)

    follows(text, demo[1], as_)

    assert text.unread() == []


@pytest.mark.browser
def test_the_barred_polish_of_section_six_is_barred_by_touch(demo, chromium):
    app, plant = demo
    text = more.Paragraph(MORE, "A barred polish")
    with running(app.wsgi_app, data_dir=plant.journal.folder.path) as address:
        page = Camera(chromium, address, plant.house).open("Per", "/rework", "wide", "day")
        more.a_barred_polish(text, plant, page)
        page.context.close()

    assert text.unread() == []
