"""The client against the application itself: what is kept in a browser reaches the journal, and other tablets."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser

START = """async () => {
  window.outbox = await import('/client/outbox.js');
  const { start } = await import('/client/start.js');
  const { watch } = await import('/client/view.js');
  const table = await (await fetch('/lifecycle.json', { headers: { 'X-Lampwalk': '1' } })).json();
  const current = await (await fetch('/catalogues/current.json', { headers: { 'X-Lampwalk': '1' } })).json();
  window.outbox.madeWith({ catalogue: current.hash });
  window.watchUnit = (unit) => watch(unit, { table }, (sight) => { window.sight = sight; });
  await start();
}"""
WALK = """async (unit) => {
  const { uuid7 } = await import('/client/ids.js');
  const keep = (type, body) => window.outbox.keep({ type, stream: `unit:${unit}`, body });
  const [walk, marker] = [uuid7(), uuid7()];
  await keep('walk_started', { walk, purpose: 'first' });
  const tag = window.sight.nextTag(unit);
  const spot = { lap: 'lamp', kind: 'dirt', view: 'left', x: 20600, y: 20000, spread: 100 };
  await keep('marker_made', { marker, tag, walk, ...spot });
  await keep('zone_looked', { walk, zone: 'left.cab_door_lower', lap: 'lamp', found: 1 });
  return { walk, marker, tag };
}"""
MARKERS = """() => (window.sight?.state.markers ?? []).map(({ tag, zone, pending }) =>
  ({ tag, zone, pending: Boolean(pending) }))"""


def until(page: Page, script: str, wanted: Any) -> None:
    """Wait until a script gives what is wanted."""
    found = None
    for _ in range(500):
        found = page.evaluate(script)
        if found == wanted:
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"wanted {wanted}, got {found}; refused: {page.evaluate('() => window.outbox.answers()')}")


def test_a_marker_kept_on_one_tablet_is_seen_on_another(page_as: Any, plant: Any) -> None:
    unit = plant.unit()
    mine, other = page_as("ines"), page_as("lukasz")
    for page in (mine, other):
        page.evaluate(START)
        page.evaluate("(unit) => void window.watchUnit(unit)", unit)
        until(page, "() => window.sight?.state.units.length", 1)
    made = mine.evaluate(WALK, unit)

    seen = [{"tag": made["tag"], "zone": "left.cab_door_lower", "pending": False}]
    until(mine, MARKERS, seen)
    until(other, MARKERS, seen)
    assert mine.evaluate("() => window.outbox.answers()") == []
    assert mine.evaluate("async () => (await window.outbox.waiting()).length") == 0
    assert plant.row("markers", made["marker"])["state"] == "open"


def test_the_server_and_the_tablet_agree_on_what_a_technician_may_not_do(page_as: Any, plant: Any) -> None:
    unit = plant.unit()
    page = page_as("thanh")
    page.evaluate(START)
    page.evaluate("(unit) => void window.watchUnit(unit)", unit)
    until(page, "() => window.sight?.state.units.length", 1)
    page.evaluate(WALK, unit)
    until(page, "async () => (await window.outbox.answers()).length", 3)

    assert page.evaluate(MARKERS) == []
    assert {a["outcome"] for a in page.evaluate("() => window.outbox.answers()")} == {"refused"}
