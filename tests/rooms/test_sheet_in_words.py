"""From the journal to the paper: a plant that speaks another language gets its sheets in it.

In the pseudo-language every letter of ours has an accent, so that a word in plain letters is the plant's own data or
has bypassed the catalogue.
"""

import json
import re

import pytest
from signed_units import PIN, STROKES, concession, late_marker, looked_again, put_right, walked

from inspect_app.journal.verify import verify
from inspect_app.rooms.signoff.apart import tell
from inspect_app.sheet.make import make_sheet
from inspect_app.words.languages import languages
from tests.words.pseudo import KEY, PLAIN, write

WORD = re.compile(rf"[{PLAIN}]{{2,}}")
OURS = {"UTC"}  # the time zone's name


@pytest.fixture
def plant(plant):
    """The cast, in a plant that speaks the pseudo-language from the beginning."""
    found = languages(write(plant.journal.folder.path / "words").parent)
    plant.journal.speech.languages = {KEY: found[KEY].translations}
    for name, value in (("language", KEY), ("formats", "de_DE")):  # no names of months in its dates
        plant.journal.record_server("plant", "setting_changed", {"name": name, "value": value})
    return plant


@pytest.fixture
def unit(plant):
    """A unit whose sheet has something under every heading but for pictures."""
    unit = plant.unit()
    made = walked(
        plant,
        unit,
        ("swirl", "left.sliding_door_lower", {"size": 300}),
        ("nib", "right.cab_door_lower", {"size": 4}),
        ("scratch", "left.cab_door_lower", {"size": 700}),
        ("dent", "rear.door_left_lower", {"size": 120}),
    )
    plant.lukasz.do(unit, "marker_accepted", {"marker": made[1]})
    plant.lukasz.do(unit, "marker_withdrawn", {"marker": made[3], "reason": "zzz"})
    asked = concession(plant, unit, made[2], by="ines", reason="zzz", channel="zzz")
    plant.maud.online(unit, "concession_agreed", {"concession": asked})
    put_right(plant, unit)
    looked_again(plant, unit)
    plant.ines.confirm(unit)
    return unit


def own_words(plant, unit):
    """What people and papers have brought in: names and all bodies and private words as sent."""
    db = plant.journal.read()
    texts = [row["name"] for row in db.execute("SELECT name FROM people")]
    sql = "SELECT content FROM private UNION SELECT body FROM events WHERE type = 'unit_arrived'"
    for row in db.execute(sql):
        texts += [str(value) for value in json.loads(row[0]).values()]
    return {word for text in texts for word in WORD.findall(text)}


def test_a_signed_unit_gets_its_sheet_in_the_language_of_the_plant(plant, unit, pdf_words):
    head = plant.journal.read().execute("SELECT head FROM streams WHERE stream = ?", (f"unit:{unit}",)).fetchone()[0]
    body = {"expected_head": head}
    assert plant.ines.online(unit, "unit_signed", body, {"strokes": STROKES}, pin=bool(PIN)).outcome == "applied"
    late_marker(plant, unit)
    data = tell(plant.journal.folder.path, unit, "A")
    said = set(WORD.findall(pdf_words(make_sheet(data))))
    hexadecimal = {word for word in said if set(word) <= set("abcdef")}  # of heads and versions

    assert sorted(said - own_words(plant, unit) - hexadecimal - OURS) == []
    told = verify(plant.journal.folder.path)
    assert told.clean, told.sentence


@pytest.fixture
def pdf_words():
    """Return a function that reads all words of a PDF with poppler's pdftotext."""
    import subprocess

    def read(pdf):
        done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
        return done.stdout.decode()

    return read
