"""What the tablet shows before the server has answered: its own events on top of the server's rows."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from inspect_app.trade import lifecycle

from .conftest import by_text

pytestmark = pytest.mark.browser

INSPECTOR = {"person": "p-anna", "name": "Anna Beispiel", "roles": ["inspector"], "departments": []}
PAINTER = {"person": "p-boris", "name": "Boris Beispiel", "roles": ["technician"], "departments": ["paint"]}
UNIT = {"id": "u1", "state": "open", "absent": {}, "n": 1}
WALK = {"id": "w1", "unit": "u1", "purpose": "first", "state": "walking", "finished_at": None, "n": 2}
PROJECT = """async ({ rows, events, context }) => {
  const { project } = await import('/client/state.js');
  const before = JSON.stringify(rows);
  const state = project(rows, events, context);
  return { ...state, untouched: JSON.stringify(rows) === before };
}"""


def event(number: int, kind: str, body: dict[str, Any], **more: Any) -> dict[str, Any]:
    head = {"id": f"e{number}", "type": kind, "stream": "unit:u1", "tablet": "t1", "seq": number, "ticket": None}
    return {**head, "at": 1000, "offset": 7, "body": body, "private": None, **more}


def made(number: int, tag: str, **more: Any) -> dict[str, Any]:
    spot = {
        "marker": f"m-{tag}",
        "tag": tag,
        "walk": "w1",
        "kind": "nib",
        "view": "left",
        "x": 100,
        "y": 200,
        "spread": 30,
    }
    return event(number, "marker_made", {**spot, **more})


def marker(tag: str, state: str, **more: Any) -> dict[str, Any]:
    return {"id": f"m-{tag}", "unit": "u1", "tag": tag, "state": state, "severity": "S4", "n": 3, **more}


def project(
    page: Page, events: list[dict[str, Any]], me: dict[str, Any] = INSPECTOR, **rows: list[dict[str, Any]]
) -> dict[str, Any]:
    given = {"units": [UNIT], "walks": [WALK], **rows}
    context = {"table": lifecycle.builtin().to_json(), "me": me, "now": 5000}
    state: dict[str, Any] = by_text(page, PROJECT, {"rows": given, "events": events, "context": context})
    assert state["untouched"]
    return state


def states(state: dict[str, Any], table: str = "markers") -> dict[str, str]:
    return {row["id"]: row["state"] for row in state[table]}


def test_a_kept_marker_is_shown_at_once(modules: Page) -> None:
    state = project(modules, [made(1, "B1", size=12)])

    assert [(m["tag"], m["state"], m["size"], m["pending"], m["made_at"]) for m in state["markers"]] == [
        ("B1", "open", 12, True, 1007)
    ]


def test_a_marker_the_server_has_already_is_not_doubled(modules: Page) -> None:
    state = project(modules, [made(1, "B1")], markers=[marker("B1", "in_rework")])

    assert states(state) == {"m-B1": "in_rework"}
    assert "pending" not in state["markers"][0]


def test_a_marker_can_be_made_amended_and_accepted_while_the_server_is_away(modules: Page) -> None:
    steps = [
        made(1, "B1"),
        event(2, "marker_amended", {"marker": "m-B1", "size": 5}),
        event(3, "marker_accepted", {"marker": "m-B1"}),
    ]
    state = project(modules, steps)

    assert [(m["size"], m["state"]) for m in state["markers"]] == [(5, "accepted")]


@pytest.mark.parametrize(
    ("kind", "before", "body", "after"),
    [
        ("marker_withdrawn", "open", {"reason": "a drop of water"}, "withdrawn"),
        ("marker_cleared", "reworked", {"walk": "w1"}, "cleared"),
        ("marker_sent_back", "reworked", {"walk": "w1", "reason": "still there"}, "open"),
        ("put_right_here", "open", {"how": "wipe"}, "reworked"),
        ("no_flaw_decided", "in_rework", {"agreed": True}, "no_flaw"),
        ("no_flaw_decided", "in_rework", {"agreed": False}, "in_rework"),
    ],
)
def test_what_an_inspector_decides_is_shown_at_once(
    modules: Page, kind: str, before: str, body: dict[str, Any], after: str
) -> None:
    state = project(modules, [event(1, kind, {"marker": "m-B1", **body})], markers=[marker("B1", before)])

    assert states(state) == {"m-B1": after}
    assert state["doubtful"] == []


def test_a_fixer_does_not_see_their_own_marker_cleared(modules: Page) -> None:
    steps = [
        event(1, "put_right_here", {"marker": "m-B1", "how": "wipe"}),
        event(2, "marker_cleared", {"marker": "m-B1", "walk": "w1"}),
    ]
    state = project(modules, steps, markers=[marker("B1", "open")])

    assert states(state) == {"m-B1": "reworked"}
    assert [(d["id"], d["sentence"]) for d in state["doubtful"]] == [
        ("e2", "You logged work on this marker, so someone else has to look at it again.")
    ]


def test_a_clearance_waits_for_the_cure(modules: Page) -> None:
    state = project(
        modules, [event(1, "marker_cleared", {"marker": "m-B1"})], markers=[marker("B1", "reworked", cure_until=9000)]
    )

    assert states(state) == {"m-B1": "reworked"}


def test_nothing_is_shown_as_done_on_a_signed_unit(modules: Page) -> None:
    state = project(modules, [made(1, "B1")], units=[{**UNIT, "state": "signed"}])

    assert state["markers"] == []
    assert state["doubtful"][0]["sentence"] == "This arrived after the unit was signed."


def test_an_event_of_an_earlier_author_is_judged_by_their_roles(modules: Page) -> None:
    context = {"table": lifecycle.builtin().to_json(), "me": PAINTER, "now": 5000, "authors": {"t-anna": INSPECTOR}}
    given = {"rows": {"units": [UNIT]}, "events": [{**made(1, "B1"), "ticket": "t-anna"}], "context": context}
    state = by_text(modules, PROJECT, given)

    assert [m["made_by"] for m in state["markers"]] == ["p-anna"]


def test_a_look_is_counted_once_and_can_be_undone(modules: Page) -> None:
    look = {"walk": "w1", "zone": "left.sill", "lap": "lamp", "found": 0}
    twice = project(modules, [event(1, "zone_looked", look), event(2, "zone_looked", look)])
    undone = project(modules, [event(1, "zone_looked", look), event(2, "look_undone", look)])

    assert [(row["id"], row["zone"], row["undone"]) for row in twice["looks"]] == [("e1", "left.sill", 0)]
    assert [bool(row["undone"]) for row in undone["looks"]] == [True]


def test_an_absent_zone_cannot_be_looked_at(modules: Page) -> None:
    steps = [
        event(1, "zones_absent", {"zones": ["left.mirror"], "why": "off"}),
        event(2, "zone_looked", {"walk": "w1", "zone": "left.mirror", "lap": "lamp", "found": 0}),
    ]
    state = project(modules, steps)

    assert state["looks"] == []
    assert state["units"][0]["absent"] == {"left.mirror": "off"}


def chain(*states_of_steps: str) -> list[dict[str, Any]]:
    shared = {
        "unit": "u1",
        "chain": "c1",
        "steps": len(states_of_steps),
        "department": "paint",
        "markers": ["m-B1"],
        "n": 4,
    }
    return [
        {**shared, "id": f"j{i}", "step": i, "state": state, "taken_by": None}
        for i, state in enumerate(states_of_steps, 1)
    ]


def test_the_next_step_has_its_turn_when_mine_is_done(modules: Page) -> None:
    steps = [event(1, "job_taken", {"job": "j1", "cautions": []}), event(2, "work_done", {"job": "j1", "minutes": 20})]
    state = project(modules, steps, PAINTER, jobs=chain("ready", "waiting"), markers=[marker("B1", "open")])

    assert states(state, "jobs") == {"j1": "done", "j2": "ready"}
    assert states(state) == {"m-B1": "in_rework"}


def test_only_the_last_step_makes_a_marker_reworked(modules: Page) -> None:
    steps = [event(1, "job_taken", {"job": "j2", "cautions": []}), event(2, "work_done", {"job": "j2", "minutes": 20})]
    state = project(modules, steps, PAINTER, jobs=chain("done", "ready"), markers=[marker("B1", "in_rework")])

    assert states(state) == {"m-B1": "reworked"}
    assert [(w["marker"], w["person"], w["minutes"]) for w in state["work"]] == [("m-B1", "p-boris", 20)]


def test_a_job_of_another_department_is_not_shown_as_taken(modules: Page) -> None:
    jobs = [{**chain("ready")[0], "department": "body"}]
    state = project(modules, [event(1, "job_taken", {"job": "j1", "cautions": []})], PAINTER, jobs=jobs)

    assert states(state, "jobs") == {"j1": "ready"}
    assert state["doubtful"][0]["sentence"] == "This step belongs to another department."


@pytest.mark.parametrize(
    ("markers", "kept", "tag"),
    [
        ([], [], "B1"),
        (["B7", "A9"], [], "B8"),
        (["B7"], ["B8", "B9"], "B10"),
        (["BB12", "B2"], [], "B3"),
        (["B10", "B9"], [], "B11"),
    ],
)
def test_tags_count_on_over_what_is_kept(modules: Page, markers: list[str], kept: list[str], tag: str) -> None:
    script = """async ({ markers, kept }) => {
      const { nextTag } = await import('/client/tags.js');
      const rows = [...markers.map((tag) => ({ unit: 'u1', tag })), { unit: 'u2', tag: 'B99' }];
      const events = kept.map((tag) => ({ type: 'marker_made', stream: 'unit:u1', body: { tag } }));
      return nextTag('u1', 'B', rows, events);
    }"""

    assert modules.evaluate(script, {"markers": markers, "kept": kept}) == tag
