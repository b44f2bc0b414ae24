"""Fingers on the drawing of the built-in van."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import CDPSession, Page

from inspect_app.trade import outline

VAN = outline.builtin()
OPEN = """async (json) => {
  const { Board } = await import('/client/board.js');
  window.taps = []; window.places = []; window.lines = []; window.aims = [];
  window.board = new Board(document.getElementById('drawing'), json, 'left', {
    tap: (spot, marks) => window.taps.push({ spot, marks: marks.map(({ tag }) => tag) }),
    place: (spot, done) => window.places.push({ ...spot, done }),
    line: (from, to, done) => window.lines.push({ from, to, done }),
    aim: (spot) => window.aims.push(spot),
  });
}"""
BOX = "() => ({ ...window.board.viewport.box, unit: window.board.viewport.unit, zoomed: window.board.viewport.zoomed })"
SCREEN = "([x, y]) => window.board.viewport.onScreen(x, y)"


class Hands:
    """Fingers on the board; places are mm on the drawing."""

    def __init__(self, page: Page, touch: CDPSession):
        self.page = page
        self.touch = touch

    def run(self, script: str, argument: Any = None) -> Any:
        return self.page.evaluate(script, argument)

    def settle(self) -> None:
        """Let a glide end."""
        self.page.wait_for_timeout(260)

    def at(self, x: float, y: float) -> tuple[float, float]:
        place = self.run(SCREEN, [x, y])
        return place["x"], place["y"]

    def tap(self, x: float, y: float) -> None:
        self.page.touchscreen.tap(*self.at(x, y))

    def fingers(self, kind: str, *points: tuple[float, float]) -> None:
        """Put fingers down, move them or (with none) lift them; places in px."""
        found = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]
        self.touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": found})

    def drag(self, start: tuple[float, float], end: tuple[float, float], *, hold: int = 0) -> None:
        """Drag one finger in px, first holding it still for `hold` ms."""
        self.fingers("touchStart", start)
        self.page.wait_for_timeout(hold)
        for i in range(1, 6):
            self.fingers("touchMove", tuple(a + (b - a) * i / 5 for a, b in zip(start, end, strict=True)))  # type: ignore[arg-type]
        self.fingers("touchEnd")


def middle(zone_id: str) -> tuple[float, float]:
    """A point well inside a zone, by shapely, in mm."""
    from shapely import Polygon

    point = Polygon(VAN.zone(zone_id).rings[0].points).representative_point()
    return point.x, point.y
