"""A marker more costs what a marker costs, however many are kept already: counted in elements and judgements, not in time."""

from __future__ import annotations

import pytest

from inspect_app.trade import lifecycle

from .conftest import Tablet
from .hands import Hands
from .stub import Stub

pytestmark = pytest.mark.browser

# How many elements of the drawing, and of what lies on it, change when one marker comes to `before` others.
CHANGES = """async (before) => {
  const mark = (n) => ({ id: `m${n}`, tag: `B${n}`, state: 'open', severity: 'S3', view: 'left', x: 1000 + (n % 40) * 900, y: 9000 + n * 20 });
  const all = Array.from({ length: before }, (_, n) => mark(n));
  window.board.showMarks(all);
  window.board.showLooks((zone) => (zone.length % 2 ? 'none' : null));
  const kept = [...document.querySelectorAll('#drawing .marks > *')];
  let changes = 0;
  const watcher = new MutationObserver((seen) => {
    for (const one of seen) changes += one.type === 'attributes' ? 1 : one.addedNodes.length + one.removedNodes.length;
  });
  watcher.observe(document.getElementById('drawing'), { childList: true, subtree: true, attributes: true });
  window.board.showMarks([...all, mark(before)]);
  window.board.showLooks((zone) => (zone.length % 2 ? 'none' : null));
  await new Promise((done) => setTimeout(done, 50));
  watcher.disconnect();
  const now = [...document.querySelectorAll('#drawing .marks > *')];
  return { changes, drawn: now.length, stayed: kept.every((ring, n) => ring === now[n]) };
}"""
WATCH = """async ({ table }) => {
  const { watch } = await import('/client/view.js');
  window.placed = 0;
  const place = () => { window.placed += 1; return {}; };
  window.view = watch('u1', { table, place }, ({ state }) => { window.shown = state.markers.length; });
}"""

# The transactions that some work costs: each goes to the process of the store and back.
COUNTED = """async (work) => {
  const begin = IDBDatabase.prototype.transaction;
  const begun = [];
  IDBDatabase.prototype.transaction = function (...asked) { begun.push(asked[1]); return begin.apply(this, asked); };
  try { await (0, eval)(work)(); } finally { IDBDatabase.prototype.transaction = begin; }
  return begun;
}"""


def test_a_marker_more_draws_one_ring_whether_few_or_many_are_drawn(hands: Hands) -> None:
    few, many = hands.run(CHANGES, 5), hands.run(CHANGES, 400)

    assert many == {**few, "drawn": 401}
    assert few["stayed"]
    assert (
        few["changes"] == 1
    )  # the ring alone: a hatch that is set again, though the same, has the whole drawing painted anew


def test_rings_are_drawn_anew_when_they_change_move_or_go(hands: Hands) -> None:
    told = hands.run("""() => {
      const a = { id: 'a', tag: 'B1', state: 'open', severity: 'S3', view: 'left', x: 9000, y: 9000 };
      const b = { ...a, id: 'b', tag: 'B2', x: 12000 };
      const rings = () => [...document.querySelectorAll('#drawing .marks > *')];
      window.board.showMarks([a, b]);
      const [first, second] = rings();
      window.board.showMarks([{ ...a, state: 'cleared' }, b]);
      const changed = rings();
      window.board.showMarks([b]);
      const gone = rings();
      window.board.showMarks([b, a]);
      const turned = rings().map((ring) => ring.dataset.marker);
      return { changed: [changed[0] !== first, changed[0].dataset.state, changed[1] === second], gone: [gone.length, gone[0] === second], turned };
    }""")

    assert told == {"changed": [True, "cleared", True], "gone": [1, True], "turned": ["b", "a"]}


def test_the_line_around_the_chosen_zone_stays_while_a_ring_is_laid_and_taken_away(hands: Hands) -> None:
    told = hands.run("""() => {
      const [board, tools] = [window.board, document.querySelector('#drawing .tools')];
      board.choose('left.cab_door_lower');
      const [line] = tools.children;
      const drawn = [{ x: 900, y: 900 }, { x: 950, y: 900 }, null].map((at) => {
        board.lay(at);
        board.choose('left.cab_door_lower');
        return [tools.children.length, tools.children[0] === line];
      });
      board.choose('left.sliding_door_lower');
      return [...drawn, [tools.children.length, tools.children[0] === line]];
    }""")

    # Drawn again, it would have half the board painted anew.
    assert told == [[2, True], [2, True], [1, True], [1, False]]


def test_drawing_never_asks_the_browser_for_a_size_it_has_told_already(hands: Hands) -> None:
    hands.settle()

    asked = hands.run("""() => {
      const mark = (n) => ({ id: `m${n}`, tag: `B${n}`, state: 'open', severity: 'S3', view: 'left', x: 9000 + n * 900, y: 9000 });
      const van = document.getElementById('drawing');
      const measure = van.getBoundingClientRect.bind(van);
      let asked = 0;
      van.getBoundingClientRect = () => { asked += 1; return measure(); };
      window.board.lay({ x: 900, y: 900 });
      for (const n of [1, 2, 3]) window.board.showMarks([mark(n)]);
      window.board.choose('left.cab_door_lower');
      window.board.lay(null);
      return asked;
    }""")

    assert asked == 0  # each would have the whole page laid out in the middle of a tap


def test_a_board_that_was_given_another_size_is_measured_anew(hands: Hands) -> None:
    hands.settle()
    before = hands.run("() => window.board.viewport.element.width")
    hands.run("() => { document.getElementById('drawing').style.width = '300px'; }")

    hands.page.wait_for_function("() => window.board.viewport.element.width === 300")

    assert before != 300


def test_a_zoom_draws_every_ring_at_its_size_on_the_screen(hands: Hands) -> None:
    radius = "() => Number(document.querySelector('#drawing .ring-hit').getAttribute('r')) / window.board.viewport.unit"
    hands.run(CHANGES, 3)
    before = hands.run(radius)
    hands.run("() => window.board.zoomTo('left.cab_door_lower')")
    hands.page.wait_for_function("() => window.board.viewport.zoomed")
    for _ in range(50):
        hands.settle()
        if hands.run(radius) == pytest.approx(before, rel=0.02):
            return
    raise AssertionError(f"{hands.run(radius)} px, {before} before")


def test_a_marker_more_is_judged_alone_while_many_wait(tablet: Tablet, stub: Stub) -> None:
    stub.rows["units"] = [{"id": "u1", "state": "open", "absent": {}, "n": 1}]
    tablet.run(WATCH, {"table": lifecycle.builtin().to_json()})
    tablet.until("() => window.shown === 0")
    stub.mode = "fault"  # what is kept stays on the tablet

    def judged(tag: str) -> int:
        tablet.run("() => { window.placed = 0; }")
        before = tablet.run("() => window.shown")
        tablet.mark(tag)
        tablet.until(f"() => window.shown === {before + 1}")
        times: int = tablet.run("() => window.placed")
        return times

    first = judged("B1")
    tablet.mark(*(f"B{n}" for n in range(2, 61)))
    tablet.until("() => window.shown === 60")

    assert first == judged("B61") == 1


def test_what_lies_beside_the_rows_is_read_at_one_go(tablet: Tablet) -> None:
    work = "async () => (await import('/client/view.js')).look('u1', {})"

    assert (
        tablet.run(COUNTED, work) == ["readonly"] * 2
    )  # the rows, which are read again only when they change, and all else


def test_where_nothing_waits_sending_counts_and_leaves_the_other_tabs_alone(tablet: Tablet) -> None:
    begun = tablet.run(COUNTED, "async () => (await import('/client/sync.js')).flush()")

    assert set(begun) == {"readonly"}  # no lease
    assert len(begun) <= 3
