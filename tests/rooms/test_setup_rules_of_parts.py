"""The form for parts off the van: stages in their order, waits and windows; kept as a version, or said why not."""

from __future__ import annotations

import re

import pytest
from desk import Desk, fault_beside, said
from rules_desk import each_refused, filled, refused

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import part_stages

GOOD = catalogues.builtin()
AT = "part_stages"


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def book(plant):
    return plant.journal.catalogue().rule_book.part_stages


def test_a_wait_is_made_longer_another_taken_out_and_a_third_added(plant, maud):
    answer = filled(
        maud, AT, part_stages_waits_2_minutes="2880", part_stages_waits_1_gone="y", new_wait_since="washed",
        new_wait_before="primed", new_wait_minutes="20", new_wait_text="it dries",
    )  # fmt: skip

    assert answer.status_code == 302, said(answer)
    waits = [(one.since, one.before, one.minutes, one.origin) for one in book(plant).waits]
    assert waits == [
        ("primed", "painted", 30, "common practice, no source"),
        ("painted", "refitted", 2880, "set by this plant"),
        ("washed", "primed", 20, "set by this plant"),
    ]
    day = 24 * 60 * part_stages.MINUTE
    assert part_stages.keeps(book(plant), {"painted": 0}, "refitted", day).until == 2 * day
    changes = maud.words("/setup/catalogue/changes/1/2")
    assert "minutes 1440 is now → 2880" in changes


def test_a_material_leaves_a_stage_out_and_another_is_put_in(plant, maud):
    filled(maud, AT, new_stage_label="Steamed", new_stage_department="prep", new_stage_text="Steam it all round.",
           new_stage_cautions=["air"])  # fmt: skip
    assert book(plant).stages["steamed"].label == "Steamed"
    line = {f"part_stages_materials_fibre_stages-{n}": one for n, one in enumerate(["washed", "steamed", "", "primed"])}

    answer = filled(maud, AT, **line)

    assert answer.status_code == 302, said(answer)
    fibre, metal = book(plant).materials["fibre"], book(plant).materials["metal"]
    assert fibre.stages == ("off", "washed", "steamed", "primed", "painted", "refitted")
    assert (fibre.origin, metal) == ("set by this plant", GOOD.rule_book.part_stages.materials["metal"])
    assert part_stages.after(book(plant), "fibre", "washed") == "steamed"
    assert "prepped → primed" in maud.words("/setup/catalogue/changes/2/3")


def test_how_a_stage_is_done_and_what_can_hurt_is_the_plants_own(plant, maud):
    answer = filled(maud, AT, part_stages_stages_washed_text="Wash it twice.", part_stages_stages_washed_cautions=[])

    assert answer.status_code == 302, said(answer)
    washed = book(plant).stages["washed"]
    assert (washed.text, washed.cautions, washed.origin) == ("Wash it twice.", (), "set by this plant")


FAULTS = [
    ("part_stages_waits_0_minutes", "", "'Not sooner than' is missing; write a figure."),
    ("part_stages_waits_0_minutes", "0", "From 'primed' to 'painted' there have to be minutes (got 0)."),
    ("part_stages_windows_0_minutes", "soon", "'Not later than' must be a whole number from 0 to 43200."),
    ("part_stages_stages_flamed_label", "", "'Name' is missing; write what the shop calls it."),
    ("part_stages_stages_flamed_text", "", "'How it is done' is missing; say it in a few words."),
]


def test_each_fault_stands_beside_its_field(plant, maud):
    told = each_refused(plant, maud, [(AT, {field: typed}, field) for field, typed, _ in FAULTS])

    assert told == [sentence for _, _, sentence in FAULTS]


def test_what_would_wait_for_ever_is_said_beside_the_new_row_also_when_others_go(plant, maud):
    typed = {"new_wait_since": "painted", "new_wait_before": "primed", "new_wait_minutes": "5", "new_wait_text": "so"}
    told = "A plastic part is 'primed' before it is 'painted', so it would wait for ever; turn them round."
    assert refused(plant, maud, AT, "new_wait_before", part_stages_waits_0_gone="y", **typed) == told


def test_a_new_row_half_filled_in_says_what_is_missing(plant, maud):
    answer = filled(maud, AT, new_window_minutes="30", new_stage_label="Steamed")

    assert answer.status_code == 422
    assert fault_beside(answer, "new_window_since").startswith("'From' is missing; fill it in, or leave")
    assert fault_beside(answer, "new_stage_text").startswith("'How it is done' is missing")
    assert plant.journal.catalogue().rules is None


def test_a_stage_named_twice_is_said_beside_its_material(plant, maud):
    row = "part_stages_materials_metal_stages"

    assert refused(plant, maud, AT, row, **{f"{row}-2": "prepped"}) == "Material 'metal' names a stage twice."


def test_a_stage_that_does_not_exist_is_not_taken(plant, maud):
    answer = filled(maud, AT, **{"part_stages_materials_metal_stages-0": "gilded"})

    assert answer.status_code == 422
    assert plant.journal.catalogue().rules is None


def test_stages_are_shown_as_a_part_goes_through_them_also_when_they_were_kept(plant, maud):
    filled(maud, AT, part_stages_waits_0_minutes="45", new_stage_label="Aired", new_stage_department="prep",
           new_stage_text="Let it stand.")  # fmt: skip

    page = maud.get("/setup/catalogue/rules/part_stages").text
    shown = re.findall(r'name="part_stages_stages_(\w+)_label"', page)

    assert shown == ["off", "washed", "flamed", "prepped", "primed", "painted", "refitted", "aired"]
