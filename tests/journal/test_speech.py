"""What the journal keeps is in the plant's language: the words of a spot, verdicts, refusals, what is asked."""

import pytest
from babel.numbers import format_decimal

from inspect_app.journal import Refusal
from inspect_app.journal.verify import verify
from inspect_app.words.languages import languages
from tests.words.pseudo import KEY, write


@pytest.fixture
def speaks(plant):
    """Set the language of the plant, with all words brought along."""
    found = languages(write(plant.journal.folder.path / "words").parent)
    plant.journal.speech.languages = {KEY: found[KEY].translations}

    def speaks(language, formats=""):
        for name, value in (("language", language), ("formats", formats)):
            plant.journal.record_server("plant", "setting_changed", {"name": name, "value": value})

    return speaks


@pytest.fixture
def unit(plant):
    return plant.unit()


def said(text):
    return text.startswith("⟦") and text.endswith("⟧")


def mark(plant, unit, tag, **more):
    walk = plant.ines.start_walk(unit)
    return plant.row("markers", plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", tag, **more))


def test_the_words_of_a_spot_and_its_verdict_are_kept_in_the_language_of_the_plant(plant, speaks, unit):
    speaks(KEY)
    marker = mark(plant, unit, "B1", size=15)

    assert said(marker["words"])
    assert said(marker["limit_text"])
    assert (marker["verdict"], marker["zone"], marker["kind"]) == ("over", "left.cab_door_lower", "nib")


def test_a_rebuild_does_not_depend_on_the_language(plant, speaks, unit):
    mark(plant, unit, "B1", size=15)
    speaks(KEY)
    mark(plant, unit, "B2", size=15)
    speaks("en")
    third = mark(plant, unit, "B3", size=15)
    told = verify(plant.journal.folder.path)

    assert told.clean, told.sentence
    assert not said(third["words"])
    assert told.sentence.startswith("Clean:")


def test_figures_are_kept_as_the_plant_writes_them(plant, speaks, unit):
    speaks("en", "de_DE")
    marker = mark(plant, unit, "B1", size=15)

    assert format_decimal(1.5, locale="de_DE") == "1,5"  # the Unicode CLDR's way, by Babel
    assert "1,5 mm" in marker["limit_text"]


def test_a_language_brings_its_way_of_writing_along(plant, speaks, unit):
    speaks(KEY)  # Esperanto has a comma in the CLDR

    assert "1,5" in mark(plant, unit, "B1", size=15)["limit_text"]


def test_what_is_refused_on_a_page_is_kept_in_the_language_of_the_plant_and_said_in_the_readers(plant, speaks, unit):
    speaks(KEY)
    with pytest.raises(Refusal) as refused:
        plant.maud.online(unit, "unit_reopened", {"reason": "a test"})
    kept = plant.journal.read().execute("SELECT reason FROM refused").fetchone()

    assert refused.value.reason == "The unit is open already."  # nobody here has asked for another language
    assert said(kept["reason"])


def test_what_is_malformed_is_refused_and_kept_in_the_language_of_the_plant(plant, speaks, unit):
    speaks(KEY)
    answer = plant.ines.do(unit, "walk_started", {"walk": "no id", "purpose": "first"})
    kept = plant.journal.read().execute("SELECT reason FROM refused WHERE id = ?", (answer.id,)).fetchone()

    assert said(answer.reason)
    assert kept["reason"] == answer.reason


def test_a_language_that_was_not_brought_along_is_english(plant, speaks, unit):
    speaks("xx")

    assert "left cab door, lower" in mark(plant, unit, "B1", size=15)["words"]
