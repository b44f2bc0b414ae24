"""The lifecycle table: vectors that also run in the browser, and the faults a table can have."""

import json
from pathlib import Path

import pytest

from inspect_app.trade import lifecycle

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "lifecycle.json").read_text())


@pytest.mark.parametrize(
    "vector",
    VECTORS,
    ids=lambda v: f"{v['entity']}-{v['event']}-{v['state']}-{v['expect']['guard'] or v['expect']['to']}",
)
def test_a_vector_is_decided_as_written(vector):
    told = lifecycle.builtin().decide(vector["entity"], vector["event"], vector["state"], vector["facts"])

    assert {"outcome": told.outcome, "to": told.to, "guard": told.guard} == vector["expect"]


def test_the_vectors_reach_every_guard_of_the_table():
    asked = {vector["expect"]["guard"] for vector in VECTORS}

    assert set(lifecycle.builtin().guards) <= asked


def test_whatever_is_not_applied_says_why():
    for vector in VECTORS:
        told = lifecycle.builtin().decide(vector["entity"], vector["event"], vector["state"], vector["facts"])
        assert told.outcome == "applied" or told.sentence


def test_a_row_with_an_unknown_guard_is_named():
    text = '[guards]\n[[rows]]\nentity = "marker"\nevent = "marker_made"\nfrom = ["none"]\nto = "open"\nguards = ["no_such"]\n'

    with pytest.raises(lifecycle.LifecycleError, match="row marker/marker_made: guard 'no_such'"):
        lifecycle.load(text)


def test_a_guard_with_an_unknown_operator_is_named():
    text = '[guards.late]\nfact = "x"\nop = "roughly"\nsentence = "No."\n[[rows]]\n'

    with pytest.raises(lifecycle.LifecycleError, match="guard 'late': 'op' must be one of"):
        lifecycle.load(text)


def test_the_browsers_copy_of_the_table_says_the_same():
    told = lifecycle.builtin().to_json()

    assert len(told["rows"]) == len(lifecycle.builtin().rows)
    assert all(guard in told["guards"] for row in told["rows"] for guard in row["guards"])
