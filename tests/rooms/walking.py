"""A tablet on the walk's page: taps where a person would tap, and counts them."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from tests.rooms.reworked_units import sent

SPOT = """([zone, fx, fy]) => {
  const box = document.querySelector(`#van [data-zone="${zone}"]`).getBoundingClientRect();
  return [box.x + box.width * fx, box.y + box.height * fy];
}"""
STILL = """() => new Promise((done) => {
  const van = document.getElementById('van');
  let box = '';
  const look = () => {
    const now = van.getAttribute('viewBox') + van.getBoundingClientRect().height;
    if (now === box) return done(true);
    box = now;
    setTimeout(look, 120);
  };
  look();
})"""

# Every zone that is left, one press after the other as soon as the one before has been counted: a press at a time is test_walk_going.py.
LAP = """async () => {
  const [go, counted] = [document.getElementById('go'), document.querySelector('[data-looked]')];
  while (!go.textContent.startsWith('Finish')) {
    const before = counted.textContent;
    go.click();
    await new Promise((done, fail) => {
      const late = setTimeout(() => fail(new Error(`"${go.textContent}" looked at no zone; ${before}`)), 15000);
      const told = () => { if (counted.textContent !== before) { watch.disconnect(); clearTimeout(late); done(); } };
      const watch = new MutationObserver(told);
      watch.observe(counted, { characterData: true, childList: true, subtree: true });
      told();
    });
  }
}"""


class Tablet:
    """One tablet; `taps` counts every touch of the screen."""

    def __init__(self, page: Page):
        self.page = page
        self.taps = 0
        page.set_default_timeout(15_000)

    def tap(self, selector: str) -> None:
        """Touch something that is to be seen."""
        self.taps += 1
        self.page.tap(selector)

    def begin(self, purpose: str = "first") -> Tablet:
        """Say why the van is walked."""
        self.tap(f"[data-purpose={purpose}]")
        expect(self.page.locator("#foot")).to_be_visible()
        return self

    def view(self, view: str) -> Tablet:
        """Turn to a view and let it come to rest."""
        self.tap(f"#rail [data-view={view}]")
        self.rest()
        return self

    def rest(self) -> None:
        """Wait until the drawing stands still."""
        self.page.evaluate(STILL)

    def touch(self, zone: str, fx: float = 0.5, fy: float = 0.5) -> None:
        """Touch a spot of a zone on the drawing."""
        self.rest()
        self.taps += 1
        x, y = self.page.evaluate(SPOT, [zone, fx, fy])
        self.page.touchscreen.tap(x, y)

    def mark(self, zone: str, kind: str = "nib", fx: float = 0.5, fy: float = 0.5) -> str:
        """Make a marker, spot and kind, and return its tag."""
        tag = self.page.inner_text(".next-tag b")
        self.touch(zone, fx, fy)
        self.tap(f"#dock [data-kind={kind}]")
        expect(self.page.locator("#kept .tag")).to_have_text(tag)
        return tag

    def rest_of_the_lap(self) -> None:
        """Say of every zone that is left that nothing was found."""
        self.page.evaluate(LAP)

    def words(self) -> str:
        """What the kept line says."""
        return self.page.inner_text("#kept .kept-words")

    def sent(self) -> None:
        """Wait until everything has reached the server, and the strip says so."""
        sent(self.page)  # first: what was kept this moment is not counted on the strip yet
        expect(self.page.locator("[data-sent]").first).to_have_text("All sent", timeout=30_000)

    def tags(self) -> list[str]:
        """Tags written on the drawing."""
        return sorted(self.page.locator("#van .marks .ring-tag").all_text_contents())


def under_way(page_as: Any, plant: Any, unit: str, view: str = "left", **how: Any) -> Tablet:
    """A tablet on a walk that is under way already, at a view; to begin one by touch is test_walk_going.py."""
    plant.ines.start_walk(unit)
    tablet = Tablet(page_as("ines", f"/walk/{unit}", **how))
    expect(tablet.page.locator("#foot")).to_be_visible()
    return tablet.view(view)


def markers(plant: Any, unit: str) -> dict[str, dict[str, Any]]:
    """The server's markers of a unit, by tag."""
    return {str(row["tag"]): row for row in plant.rows("markers", unit)}


def state(plant: Any, unit: str, tag: str) -> object:
    """State of a marker on the server; None before it has arrived."""
    return markers(plant, unit).get(tag, {}).get("state")


def eventually(page: Page, true: Any) -> None:
    """Wait for something on the server; the page goes on living meanwhile."""
    for _ in range(300):
        if true():
            return
        page.wait_for_timeout(50)
    raise AssertionError("never came true on the server")
