"""Every event with whatever its schema allows, about things that exist and things that do not: each gets its answer.

An event without an answer stays on its tablet for ever, and everything after it with it.
"""

from __future__ import annotations

from functools import cache

import pytest
from fuzz import operations, some
from ground import Ground, is_a_sentence
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.journal.bodies import ONLINE_ONLY, UNIT_BODIES
from sample_units.hands import new_id


@cache
def bodies() -> dict[str, object]:
    """A strategy for the body of each event, from its schema in docs/openapi.yaml."""
    answers = {"responses": {"200": {"description": ""}}}
    content = {name: {"application/json": {"schema": {"$ref": f"#/components/schemas/{name}"}}} for name in UNIT_BODIES}
    paths = {
        f"/{name}": {"post": {"requestBody": {"required": True, "content": content[name]}, **answers}}
        for name in content
    }
    return {operation.path[1:]: operation.as_strategy() for operation in operations(paths).values()}


@pytest.fixture(scope="module")
def known(ground: Ground) -> dict[str, str]:
    """Things that exist, by the names that bodies have for them."""
    ines, unit = ground.plant.ines, ground.unit
    assert ines.finish_walk(unit, ground.walk).outcome == "applied"
    job = ground.plant.rows("jobs", unit)[0]["id"]
    names = {"walk": ines.start_walk(unit, "again"), "marker": ground.marker, "job": job, "photo": ground.photo}
    return {
        **names,
        "concession": ground.concession,
        "zone": "left.cab_door_lower",
        "lap": "lamp",
        "kind": "chip",
        "view": "left",
    }


@pytest.mark.parametrize("event_type", sorted(UNIT_BODIES.keys() - ONLINE_ONLY))
def test_an_event_with_whatever_its_schema_allows_gets_its_answer(ground, known, event_type):
    @some(12)
    @given(case=bodies()[event_type], exists=st.booleans(), key=st.sampled_from(["ines", "per", "maud"]))
    def send(case, exists, key):
        hands = getattr(ground.plant, key)
        body = {**case.body, **({name: known[name] for name in known if name in case.body} if exists else {})}
        if exists and event_type in ("marker_made", "walk_started", "photo_added"):
            body[event_type.split("_")[0]] = new_id()
        (answer,) = hands.send(hands.event(ground.unit, event_type, body))

        assert answer.outcome in ("applied", "flagged", "refused"), (answer, body)
        assert (answer.outcome == "applied") == (answer.reason is None)
        if answer.reason:
            is_a_sentence(answer.reason)

    send()
    ground.is_whole()
