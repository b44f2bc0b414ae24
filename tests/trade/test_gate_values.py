"""What is written down at a gate: figures with a point or a comma, one sentence for what cannot be meant, what fails.

The units are the trade's; 15 L/min a nozzle and 200 kPa after IS 11865 (a supplier's description, second-hand).
"""

from __future__ import annotations

import re

import pytest

from inspect_app.trade import gate_values
from inspect_app.trade.catalogue import builtin
from inspect_app.words.figures import writing

SHOWER = {"method": "shower", "minutes": "10", "flow": "15", "result": "dry"}


def test_a_water_test_is_read_as_typed_and_said_in_a_line():
    values = gate_values.read("water", {**SHOWER, "flow": "14,5", "pressure": "200"})

    assert values == {"method": "shower", "minutes": 10, "flow": 145, "pressure": 200, "result": "dry"}
    assert gate_values.words("water", values) == "shower, 10 min, 14.5 L/min, 200 kPa, dry inside"
    with writing("de_DE"):
        assert "14,5 L/min" in gate_values.words("water", values)
    assert not gate_values.failed("water", values)


@pytest.mark.parametrize(
    ("gate", "typed", "sentence"),
    [
        ("water", {**SHOWER, "minutes": ""}, "'Minutes of water' is missing; write it down and confirm again."),
        ("water", {**SHOWER, "minutes": "0"}, "'Minutes of water' of 0 min cannot be meant: it lies between 1 min and 240 min; check the figure and its unit."),
        ("water", {**SHOWER, "minutes": "-3"}, "'Minutes of water' of -3 min cannot be meant: it lies between 1 min and 240 min; check the figure and its unit."),
        ("water", {**SHOWER, "minutes": "ten"}, "'Minutes of water' must be a whole figure such as 12 (got 'ten')."),
        ("water", {**SHOWER, "minutes": "12,5"}, "'Minutes of water' must be a whole figure such as 12 (got '12,5')."),
        ("water", {**SHOWER, "flow": ""}, "Write the flow of a nozzle or the pressure, so that the next test can be the same."),
        ("water", {**SHOWER, "flow": "900"}, "'Flow of a nozzle' of 900 L/min cannot be meant: it lies between 0.1 L/min and 200 L/min; check the figure and its unit."),
        ("water", {**SHOWER, "result": "damp"}, "'Result' is none of its choices; choose one."),
        ("water", {**SHOWER, "result": "entry"}, "'Where it came in' is missing; write it down and confirm again."),
        ("fasteners", {"checked": "4", "right": "5", "clips": "0"}, "'Of them at torque and marked' cannot be more than were checked; count again."),
        ("lamps", {"faults": "0", "touched": "yes"}, "'Number of the calibration paper' is missing; write it down and confirm again."),
        ("papers", {"mileage": "41", "label": "fitted"}, "'Weight' is missing; write it down and confirm again."),
    ],
)  # fmt: skip
def test_what_is_missing_or_cannot_be_meant_is_one_sentence(gate, typed, sentence):
    with pytest.raises(ValueError, match=re.escape(sentence)) as fault:
        gate_values.read(gate, typed)

    assert str(fault.value) == sentence


@pytest.mark.parametrize(
    ("gate", "typed", "fails"),
    [
        ("water", {**SHOWER, "result": "entry", "where": "left rear lamp"}, True),
        ("fasteners", {"checked": "12", "right": "12", "clips": "0"}, False),
        ("fasteners", {"checked": "12", "right": "11", "clips": "0"}, True),
        ("fasteners", {"checked": "12", "right": "12", "clips": "1"}, True),
        ("lamps", {"faults": "0", "touched": "no"}, False),
        ("lamps", {"faults": "2", "touched": "yes", "paper": "K 17"}, True),
        ("papers", {"mileage": "0", "weight": "2980", "label": "not_due"}, False),
        ("papers", {"mileage": "41", "weight": "2980", "label": "missing"}, True),
    ],
)
def test_the_values_say_whether_the_gate_holds(gate, typed, fails):
    assert gate_values.failed(gate, gate_values.read(gate, typed)) is fails


@pytest.mark.parametrize("formats", ["", "de_DE"])
def test_values_as_they_would_be_typed_are_read_as_the_same_values(formats):
    values = gate_values.read("water", {**SHOWER, "flow": "14,5", "pressure": "200"})
    with writing(formats):
        assert gate_values.read("water", gate_values.typed("water", values)) == values


def test_values_are_asked_at_gates_and_with_cautions_that_the_catalogue_has():
    book = builtin()

    assert set(gate_values.builtin()) <= set(book.gates)
    assert {key for asked in gate_values.builtin().values() for key in asked.cautions} <= set(book.cautions)
    assert all(asked.origin for asked in gate_values.builtin().values())
