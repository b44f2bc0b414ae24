"""The form for what gates ask for: bounds, words and choices; kept as a version, or said why not; then asked so."""

from __future__ import annotations

import pytest
from desk import Desk, said
from rules_desk import each_refused, filled

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import gate_values

AT = "gate_values"
WATER = "gate_values_water_asks"


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def book(plant):
    return plant.journal.catalogue().rule_book.gate_values


def test_the_bounds_of_a_water_test_are_the_plants_own(plant, maud):
    answer = filled(maud, AT, **{f"{WATER}_1_least": "15", f"{WATER}_2_most": "30,5", f"{WATER}_3_optional": []})

    assert answer.status_code == 302, said(answer)
    water = book(plant)["water"]
    assert (water.asks[1].least, water.asks[2].most, water.asks[3].optional) == (15, 305, False)
    assert (water.origin, book(plant)["papers"].origin[:6]) == ("set by this plant", "common")
    typed = {"method": "shower", "minutes": "10", "pressure": "200", "result": "dry"}
    with pytest.raises(ValueError, match="of 10 min cannot be meant: it lies between 15 min and 240 min"):
        gate_values.read("water", typed, book(plant))
    assert gate_values.read("water", typed)["minutes"] == 10
    assert "Minutes of water: 15–240 min" in maud.words("/setup/catalogue/changes/1/2")


def test_a_value_is_taken_out_and_others_added_also_to_a_gate_of_ones_own(plant, maud):
    answer = filled(maud, AT, gate_values_fasteners_asks_2_gone="y", new_gate="water", new_label="Nozzles",
                    new_unit="pcs", new_least="1", new_most="40")  # fmt: skip
    assert answer.status_code == 302, said(answer)
    assert [one.key for one in book(plant)["fasteners"].asks] == ["checked", "right"]
    last = book(plant)["water"].asks[-1]
    assert (last.key, last.unit, last.least, last.most, last.optional) == ("nozzles", "pcs", 1, 40, False)

    answer = filled(maud, AT, new_gate="clean", new_label="Who swept", new_optional="y")

    assert answer.status_code == 302, said(answer)
    assert gate_values.read("clean", {"who_swept": "the early shift"}, book(plant)) == {"who_swept": "the early shift"}
    assert book(plant)["clean"].origin == "set by this plant"


def test_a_sign_off_asks_as_the_plant_says(plant, client_as, maud):
    filled(maud, AT, **{f"{WATER}_4_choices_0_label": "not a drop", "gate_values_water_hint": "Half an hour."})
    unit = plant.unit()

    page = Desk(client_as("ines")).words(f"/sign-off/{unit}")

    assert "not a drop" in page
    assert "Half an hour." in page
    assert "dry inside" not in page


def test_the_last_test_is_not_offered_again_when_it_would_be_refused_now(plant, client_as, maud):
    first, second, ines = plant.unit(), plant.unit("118940"), client_as("ines")
    values = {"method": "shower", "minutes": "10", "flow": "14.5", "result": "dry"}
    assert ines.post(f"/sign-off/{first}/gates/water", json={"values": values}).status_code == 200
    assert "Tested as last time" in ines.get(f"/sign-off/{second}").text

    filled(maud, AT, **{f"{WATER}_1_least": "15"})

    assert "Tested as last time" not in ines.get(f"/sign-off/{second}").text


FAULTS = [
    ({f"{WATER}_1_least": "300"}, f"{WATER}_1_most", "'minutes' of the gate 'water' needs a least and a most, the least first."),
    ({f"{WATER}_1_most": ""}, f"{WATER}_1_most", "'At most' is missing; write a figure."),
    ({f"{WATER}_1_most": "long"}, f"{WATER}_1_most", "'At most' must be a whole number from 0 to 999999."),
    ({f"{WATER}_0_choices_1_label": ""}, f"{WATER}_0_choices_1_label", "'Choice 2' is missing; say it."),
    ({"gate_values_fasteners_asks_0_gone": "y"}, "gate_values_fasteners_asks_1_label", "'right' of the gate 'fasteners' is counted out of something that is not asked."),
    ({f"gate_values_lamps_asks_{n}_gone": "y" for n in range(3)}, "gate_values_lamps_hint", "Gate 'lamps' asks for nothing; leave its values out instead."),
    ({"new_gate": "water"}, "new_label", "'What is asked' is missing; fill it in, or leave the new row empty."),
    ({"new_gate": "clean", "new_label": "Cloths", "new_least": "3"}, "new_most", "'At most' is missing; fill it in, or leave the new row empty."),
    ({"new_gate": "clean", "new_label": "Cloths", "new_least": "3", "new_most": "2"}, "new_label", "'cloths' of the gate 'clean' needs a least and a most, the least first."),
    ({"new_gate": "water", "new_label": "Cloths", "new_least": "3", "new_most": "2"}, "new_most", "'cloths' of the gate 'water' needs a least and a most, the least first."),
]  # fmt: skip


def test_each_fault_stands_beside_its_field_and_nothing_is_kept(plant, maud):
    told = each_refused(plant, maud, [(AT, typed, field) for typed, field, _ in FAULTS])

    assert told == [sentence for _, _, sentence in FAULTS]


def test_gates_that_rows_answer_for_take_no_value(maud):
    page = maud.get("/setup/catalogue/rules/gate_values").text

    assert '<option value="glass"' in page
    for gate in ("marks", "coverage", "film", "release"):
        assert f'<option value="{gate}"' not in page


def test_the_built_in_values_have_a_gate_each():
    assert gate_values.builtin().keys() <= catalogues.builtin().gates.keys()
