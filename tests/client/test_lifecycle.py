"""The browser reads the lifecycle table as the server does."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from inspect_app.trade import lifecycle

from .conftest import by_text

pytestmark = pytest.mark.browser

VECTORS = Path(__file__).parents[1] / "vectors" / "lifecycle.json"
DECIDE = """async ({ table, cases }) => {
  const { decide } = await import('/client/lifecycle.js');
  return cases.map(({ entity, event, state, facts }) => decide(table, entity, event, state, facts));
}"""


def decide(modules: Page, table: dict[str, Any], cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = by_text(modules, DECIDE, {"table": table, "cases": cases})
    return found


def test_every_vector_turns_out_as_written(modules: Page) -> None:
    cases = json.loads(VECTORS.read_text("utf-8"))
    said = decide(modules, lifecycle.builtin().to_json(), cases)
    found = [{name: decision[name] for name in ("outcome", "to", "guard")} for decision in said]

    assert len(cases) > 20
    assert found == [{name: case["expect"][name] for name in ("outcome", "to", "guard")} for case in cases]


def test_every_row_and_state_is_decided_as_in_python(modules: Page) -> None:
    table = lifecycle.builtin()
    states = sorted({state for row in table.rows for state in (*row.sources, row.to)} | {"none"})
    hopeful = {
        "roles": ["inspector", "technician", "manager"],
        "reason": "because",
        "severity": "S4",
        "verdict": "within",
        "departments": ["paint"],
        "job_department": "paint",
        "cautions_unseen": 0,
        "taken_by_me": True,
    }
    cases = [
        {"entity": row.entity, "event": row.event, "state": state, "facts": facts}
        for row in table.rows
        for state in states
        for facts in ({}, {"roles": ["technician"]}, hopeful)
    ]
    ours = [table.decide(c["entity"], c["event"], c["state"], c["facts"]) for c in cases]

    assert decide(modules, table.to_json(), cases) == [
        {"outcome": d.outcome, "to": d.to, "sentence": d.sentence, "guard": d.guard} for d in ours
    ]


@pytest.mark.parametrize(
    ("op", "value", "fact", "holds"),
    [
        ("is", False, None, False),
        ("is", False, False, True),
        ("is_not", "over", None, True),
        ("in", ["S3"], "S3", True),
        ("in", ["S3"], None, False),
        ("not_in", ["S1"], None, True),
        ("given", None, "  ", False),
        ("given", None, "x", True),
        ("given", None, 0, True),
        ("at_least", 1, None, False),
        ("at_least", 2, 3, True),
        ("at_most", 0, None, False),
        ("at_most", 0, 0, True),
        ("has", "paint", None, False),
        ("has", "paint", ["paint"], True),
    ],
)
def test_each_operator_as_in_python(modules: Page, op: str, value: Any, fact: Any, holds: bool) -> None:
    guard = {"fact": "f", "op": op, "value": value, "sentence": "No."}
    row = {"entity": "e", "event": "v", "from": ["*"], "to": "=", "roles": [], "guards": ["g"], "late": "flag"}
    table = {"guards": {"g": guard}, "rows": [{**row, "late_sentence": ""}]}
    said = decide(modules, table, [{"entity": "e", "event": "v", "state": "s", "facts": {"f": fact}}])

    assert lifecycle.OPERATORS[op](fact, value) is holds
    assert said[0]["outcome"] == ("applied" if holds else "refused")
