"""What one tablet keeps about itself: where the kinds stand, large type, what is felt and heard, the screen awake."""

from __future__ import annotations

import pytest
from accessible import faults_everywhere
from playwright.sync_api import Page, expect
from walking import Tablet, under_way

from sample_units.chromium import SIZES

pytestmark = pytest.mark.browser

DOOR = "left.sliding_door_lower"
# Stands in for what a test machine has not: a motor, a loudspeaker, a screen that would go dark.
DEVICE = """() => {
  window.felt = []; window.heard = []; window.locks = [];
  navigator.vibrate = (ms) => window.felt.push(ms);
  const start = OscillatorNode.prototype.start;
  OscillatorNode.prototype.start = function (...args) { window.heard.push(this.frequency.value); start.apply(this, args); };
  WakeLock.prototype.request = async (kind) => {
    const lock = { kind, released: false, release: async () => { lock.released = true; } };
    window.locks.push(lock);
    return lock;
  };
}"""

# What the strip can say, and what of it is cut off or off the screen.
EVERY_STATE = """async () => {
  const { sentWords } = await import('/client/status.js');
  const states = ['idle', 'sending', 'away', 'signin', 'barred'].flatMap((phase) => [0, 312].map((events) => sentWords({ phase, events, photos: 0 }, 0)));
  const told = {};
  for (const { state, words } of [...states, sentWords({ phase: 'idle', events: 0, photos: 0 }, 3), sentWords({ phase: 'away', events: 312, photos: 0 }, 12)]) {
    Object.assign(document.querySelector('[data-sent]'), { textContent: words }).dataset.state = state;
    told[words] = [...document.querySelectorAll('.strip > *')].filter((one) => one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 2
      || one.getBoundingClientRect().right > innerWidth + 1).map((one) => one.className);
  }
  return told;
}"""


@pytest.fixture
def unit(plant):
    return plant.unit()


def open_sheet(page: Page) -> None:
    page.tap(".more > summary")
    page.tap("[data-this-tablet]")
    expect(page.locator("dialog h2")).to_have_text("This tablet")


def choose(page: Page, *ticks: str) -> None:
    open_sheet(page)
    for tick in ticks:
        page.tap(f"dialog {tick}")
    page.tap("dialog .dialog-head button")


def apart(page: Page) -> bool:
    """Whether neither the laid ring nor its spot is under the kinds."""
    script = """() => {
      const [a, b] = ['#dock', '#van .tools .ring-hit'].map((one) => document.querySelector(one).getBoundingClientRect());
      return a.right < b.left || b.right < a.left || a.bottom < b.top || b.bottom < a.top;
    }"""
    return bool(page.evaluate(script))


def resize(page: Page, size: str) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})


def test_the_kinds_stand_where_the_hand_is_and_never_on_the_ring(page_as, plant):
    tablet = under_way(page_as, plant, plant.unit())
    page = tablet.page
    # On another side of the van each time, where no ring lies yet.
    for side, size, zone in (
        ("left", "wide", DOOR),
        ("right", "tall", "right.cab_door_lower"),
        ("left", "phone", "left.cab_door_lower"),
    ):
        resize(page, size)
        choose(page, f"[value={side}]")
        tablet.view(zone.partition(".")[0])
        board = page.locator("#board").bounding_box()
        middle = board["x"] + board["width"] / 2
        for fx in (0.1, 0.9, 0.5):
            tablet.touch(zone, fx)
            tablet.rest()
            assert apart(page), (side, size, fx)
            page.keyboard.press("1")  # keeps it and shuts the dock
            expect(page.locator("#dock"), f"{side}, {size}").to_be_hidden()
        tablet.touch(zone, 0.5, 0.85)
        dock = page.locator("#dock").bounding_box()
        centre = dock["x"] + dock["width"] / 2
        assert (centre < middle) == (side == "left"), (side, size)
        assert dock["width"] < board["width"] * 0.7, (side, size)
        for kind in page.locator("#dock button").all():
            box = kind.bounding_box()
            assert min(box["width"], box["height"]) >= 48, (side, size)
        page.keyboard.press("1")
        expect(page.locator("#dock"), f"{side}, {size}").to_be_hidden()


def test_large_type_is_in_the_page_as_the_server_sends_it_on_the_tablet_that_chose_it_and_not_on_the_persons_other_one(
    page_as,
):
    page = page_as("ines", "/")
    script = "() => parseFloat(getComputedStyle(document.documentElement).fontSize)"
    before = page.evaluate(script)
    choose(page, "[value=left]", "[name=type]")
    assert page.evaluate(script) == pytest.approx(before * 1.2)
    other = page_as("ines", "/")
    open_sheet(other)
    expect(other.locator("dialog [value=away]")).to_be_checked()
    expect(other.locator("dialog [name=type]")).not_to_be_checked()
    page.goto("/units")
    assert page.evaluate(script) == pytest.approx(before * 1.2)
    assert 'data-type="large"' in page.request.get("/units").text()
    open_sheet(page)
    expect(page.locator("dialog [value=left]")).to_be_checked()
    expect(page.locator("dialog [name=type]")).to_be_checked()
    page.tap("dialog .dialog-head button")
    choose(page, "[name=type]")
    assert 'data-type="large"' not in page.request.get("/units").text()


def test_doubles_beside_the_laps_move_nothing_and_hide_none_and_in_large_type_nothing_is_cut_off(page_as, plant, unit):
    tablet = under_way(page_as, plant, unit)
    page, before = tablet.page, tablet.page.viewport_size
    script = """(words) => {
      const said = document.getElementById('tool-doubles');
      Object.assign(said, { textContent: words, hidden: words === '' });
      const [bar, laps] = ['bar', 'laps'].map((id) => document.getElementById(id));
      return [bar.offsetHeight, laps.scrollWidth - laps.clientWidth, bar.scrollWidth - bar.clientWidth];
    }"""
    for letters in ("as they come", "large"):
        if letters == "large":
            choose(page, "[name=type]")
        for size in SIZES:
            resize(page, size)
            rows = [page.evaluate(script, words) for words in ("", "1 double?", "12 doubles?")]
            assert rows == [[rows[0][0], 0, 0]] * 3, (letters, size)
            assert rows[0][0] < 70, (letters, size)  # one row
    page.evaluate(script, "")

    page.set_viewport_size(before)
    tablet.mark(DOOR)
    tablet.touch(DOOR, 0.2, 0.2)
    script = """() => {
      const out = document.documentElement.scrollWidth > innerWidth ? ['the page'] : [];
      for (const one of document.querySelectorAll('.btn, .kind, .size, .cell, .tag, .kept-words, .foot-zone')) {
        const box = one.getBoundingClientRect();
        if (box.width === 0 || one.closest('.unseen')) continue;
        if (one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 2 || box.right > innerWidth + 1 || box.bottom > innerHeight + 1)
          out.push(`${one.className} ${one.textContent.trim().slice(0, 30)} ${one.scrollWidth}/${one.clientWidth} ${one.scrollHeight}/${one.clientHeight}`);
      }
      return out;
    }"""
    for size in SIZES:
        resize(page, size)
        assert (size, page.evaluate(script)) == (size, [])
        expect(page.locator("#dock"), size).to_be_visible()
        board = page.locator("#board").bounding_box()
        assert board["height"] > 200, size
        said = page.inner_text("[data-sent]")
        told = page.evaluate(EVERY_STATE)
        assert (size, {words: cut for words, cut in told.items() if cut}) == (size, {})
        assert len(told) == 9
        page.evaluate("(said) => { document.querySelector('[data-sent]').textContent = said; }", said)


def test_a_kept_marker_is_felt_and_heard_as_the_tablet_wishes_and_not_felt_unasked_by_who_wants_less_motion(
    page_as, plant, unit
):
    tablet = under_way(page_as, plant, unit)
    page = tablet.page
    assert page.evaluate("() => matchMedia('(prefers-reduced-motion: reduce)').matches")
    page.evaluate(DEVICE)
    tablet.mark(DOOR, fx=0.1)
    assert page.evaluate("window.felt.length") == 0

    page.emulate_media(reduced_motion="no-preference")
    page.reload()
    tablet.view("left")
    page.evaluate(DEVICE)
    tablet.mark(DOOR, fx=0.4)
    page.wait_for_function("() => window.felt.length === 1")
    assert page.evaluate("window.heard.length") == 0  # off as delivered
    choose(page, "[name=sound]", "[name=buzz]")
    page.evaluate("window.felt = []; window.heard = []")
    tablet.mark(DOOR, fx=0.7)
    page.wait_for_function("() => window.heard.length === 1")
    assert page.evaluate("window.felt.length") == 0


def stays_awake(page):
    """The screen, during a walk and again after it was hidden."""
    page.evaluate(DEVICE)
    assert page.evaluate("window.locks.length") == 0  # nobody walks yet
    Tablet(page).begin()
    page.wait_for_function("() => window.locks.length === 1")
    page.evaluate("() => { window.locks[0].released = true; document.dispatchEvent(new Event('visibilitychange')); }")
    page.wait_for_function("() => window.locks.length === 2")
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("window.locks.map(({ released }) => released)") == [True, False]


def test_axe_finds_nothing_in_the_sheet_the_keyboard_reaches_all_of_it_and_a_walk_keeps_the_screen_awake(page_as, unit):
    page = page_as("ines", f"/walk/{unit}")
    page.wait_for_selector("[data-purpose=first]")
    page.focus(".more > summary")
    page.keyboard.press("Enter")
    for _ in range(10):  # past whatever else the menu offers
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement.matches('[data-this-tablet]')"):
            break
    expect(page.locator("[data-this-tablet]")).to_be_focused()
    page.keyboard.press("Enter")
    assert faults_everywhere(page) == []
    reached = set()
    for _ in range(8):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.name ?? ''"))
    assert {"kinds", "type", "buzz", "sound"} <= reached
    page.keyboard.press("Escape")
    expect(page.locator("dialog")).to_have_count(0)

    stays_awake(page)
