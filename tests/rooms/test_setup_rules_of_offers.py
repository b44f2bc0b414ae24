"""The form for the methods in question: their order, a row for kinds of the plant's own; then offered so."""

from __future__ import annotations

from dataclasses import replace

import pytest
from desk import Desk, said
from rules_desk import each_refused, filled

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade.selectors import Facts, open_methods

GOOD = catalogues.builtin()
AT, FIRST = "offers", "selectors_offers_0_methods"


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def test_methods_are_put_in_another_order_and_one_is_left_out(plant, maud):
    answer = filled(maud, AT, **{f"{FIRST}-0": "flat_polish", f"{FIRST}-1": "denib_polish", f"{FIRST}-2": ""})

    assert answer.status_code == 302
    made = plant.journal.catalogue()
    nib = Facts(kind="nib", material="metal", surface_class="C", depth="clear", size=5)
    assert open_methods(made, nib).open == ("flat_polish", "denib_polish", "refinish")
    assert open_methods(GOOD, nib).open == ("denib_polish", "flat_polish", "spot_repair", "refinish")
    assert "dirt nib methods, mildest first" in maud.words("/setup/catalogue/changes/1/2")


def test_a_kind_of_the_plants_own_gets_its_methods(plant, maud):
    own = replace(GOOD.kinds["nib"], key="wax", label="wax run", everyday=None)
    plant.publish(replace(GOOD, kinds={**GOOD.kinds, "wax": own}))

    answer = filled(maud, AT, **{"new_kinds": ["wax"], "new_methods-0": "clean_off", "new_methods-1": "machine_polish"})

    assert answer.status_code == 302
    assert open_methods(plant.journal.catalogue(), Facts(kind="wax", material="metal")).open[0] == "clean_off"


FAULTS = [
    ({f"{FIRST}-{n}": "" for n in range(5)}, FIRST, "Choose one method at least; without one nothing could be done."),
    ({f"{FIRST}-1": "denib_polish"}, FIRST, "A method stands here twice; keep one of them."),
    ({f"{FIRST}-1": "magic"}, f"{FIRST}-1", "Not a valid choice."),
]  # fmt: skip


def test_each_fault_stands_beside_its_row_and_nothing_is_kept(plant, maud):
    told = each_refused(plant, maud, [(AT, typed, field) for typed, field, _ in FAULTS])

    assert told == [sentence for _, _, sentence in FAULTS]


def test_a_kind_that_came_with_the_program_keeps_a_row(plant, maud):
    answer = filled(maud, AT, selectors_offers_0_gone="y")

    assert answer.status_code == 422
    assert "No offer names the kind 'nib'; say which methods come into question." in said(answer)
