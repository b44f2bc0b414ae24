"""The tutorial is true: its van goes by touch, in the demo, from the list to the sheet, and has one picture a step."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from inspect_app import create_app
from inspect_app.journal import Journal
from inspect_app.journal.verify import verify
from inspect_app.serving import running
from sample_units import demo
from sample_units.follow import follow
from sample_units.hands import Hands, admit
from sample_units.shots import Camera

ROOT = Path(__file__).resolve().parents[2]
TUTORIAL = (ROOT / "docs" / "tutorial.md").read_text("utf-8")


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
def test_the_van_of_the_tutorial_gets_its_sheet_by_touch(tmp_path, chromium):
    demo.make(tmp_path / "demo", small=True)
    app = create_app(tmp_path / "demo")
    house = app.extensions["lampwalk"]
    house.open()
    taken: list[str] = []
    with running(app.wsgi_app, data_dir=tmp_path / "demo") as address:
        camera = Camera(chromium, address, house)
        pdf = follow(
            lambda who, path: camera.open(who, path, "wide", "day"),
            lambda _, name: taken.append(name),
            lambda unit: the_rest(house.journal, unit),  # every zone by touch is test_whole_chain.py
        )
    house.close()

    assert taken == re.findall(r"shots/step-\d\d-([\w-]+)\.png", TUTORIAL)
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    assert all(word in text for word in ("ZZKLH3VB8TD310455", "Ines Okafor", "Per Halvorsen", "Łukasz Brandt"))
    told = verify(tmp_path / "demo")
    assert told.clean, told.sentence
