"""Claims about the sheet: how long it takes, how large it is, and what it does to everyone else meanwhile."""

from __future__ import annotations

import threading
import time
from functools import partial
from pathlib import Path
from typing import Any
from unittest import mock

from inspect_app.rooms.signoff.apart import tell
from inspect_app.sheet import make
from inspect_app.sheet.data import SheetData
from tests.bench import marks, units
from tests.bench.measure import Finding, p95, turns
from tests.bench.plant import Tablet, site
from tests.bench.serve import Line, server
from tests.bench.tape import Tape

MARKERS, PICTURES = 60, 40
SYNCS = 150
ROUNDS = 6


def sheet(folder: Path) -> list[Finding]:
    """The sheet against a bare canvas, its size, and the syncs beside two of them."""
    with site(folder) as here:
        unit = units.signed(here, MARKERS, photos=PICTURES)
        data = tell(folder, unit, "A")
        tablet, other = here.tablet("ines"), here.plant.unit("118940")
        walk = tablet.hands.start_walk(other)
        events = marks.markers(tablet.hands, other, walk, 2 * SYNCS * (ROUNDS + 1))
    bodies = [marks.body(tablet, [event]) for event in events]
    return [*_against_canvas(data), _beside(folder, unit, tablet, bodies)]


def make_two(press: Any, unit: str) -> None:
    """Make the sheet of a unit twice over, each on both papers, the way the press does."""
    for _ in range(2):
        told = partial(tell, press._journal.folder.path, unit, "A")
        for paper in ("a4", "letter"):
            press._pool.submit(told, paper).result()


def _against_canvas(data: SheetData) -> list[Finding]:
    tape = Tape()
    with mock.patch.object(make, "Canvas", tape.canvas):
        noted = make.make_sheet(data)
    paths = [Path(photo.path) for marker in data.markers for photo in marker.photos if photo.path]
    pictures = {path.read_bytes(): path for path in paths}
    if len(pictures) != PICTURES or len(data.markers) != MARKERS or len(tape.replay(pictures)) < 0.9 * len(noted):
        raise RuntimeError("the bare canvas does not draw what the sheet shows")
    found = turns(lambda _: tape.replay(pictures), lambda _: make.make_sheet(data), rounds=15, warm=2)
    what = f"Sheet of {MARKERS} markers and {PICTURES} photos"
    return [
        Finding(claim=f"{what}, against a bare canvas drawing the same", found=found.ratio, most=2),
        Finding(claim=f"{what}, its size", found=len(noted) / 1e6, unit="MB", most=4),
    ]


def _beside(folder: Path, unit: str, tablet: Tablet, bodies: list[bytes]) -> Finding:
    """The 95th percentile of a sync of one marker, alone and while two sheets are being made, in turns."""
    waiting, calm, busy = iter(bodies), list[float](), list[float]()
    with server(folder) as port:
        press = Line(port, tablet.headers())
        press.post(f"/bench/sheets/{unit}", b"{}")  # the drawing process starts with its first sheet
        line = Line(port, tablet.headers())
        for number in range(ROUNDS + 1):
            alone = [_sync(line, next(waiting)) for _ in range(SYNCS)]
            beside = _while_two(line, press, unit, waiting)
            if number:
                calm += alone
                busy += beside
        line.close()
        press.close()
    claim = "95th percentile of a sync while two sheets are made, against one without"
    return Finding(claim=claim, found=p95(busy) / p95(calm), most=2)


def _while_two(line: Line, press: Line, unit: str, waiting: Any) -> list[float]:
    making = threading.Thread(target=press.post, args=(f"/bench/sheets/{unit}", b"{}"))
    making.start()
    took: list[float] = []
    while making.is_alive() and len(took) < SYNCS:
        took.append(_sync(line, next(waiting)))
    making.join()
    return took


def _sync(line: Line, content: bytes) -> float:
    start = time.perf_counter()
    line.post("/sync", content)
    return time.perf_counter() - start
