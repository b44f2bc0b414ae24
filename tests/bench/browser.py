"""Claims about the walk page in a real Chromium: what it weighs when it is first opened, and how soon the ring is seen."""

from __future__ import annotations

import shutil
import statistics
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, sync_playwright

from sample_units.chromium import FLAGS
from tests.bench import units
from tests.bench.measure import Finding
from tests.bench.plant import Tablet, site
from tests.bench.serve import server

SLOWER = 4
TAPS, WARM = 15, 3
MARKERS = 20  # on the unit whose walk is opened
# From the finger's leaving the screen to the frame that has the ring in it: a task posted from an animation frame runs
# when that frame has been laid out and painted.
WATCH = """() => {
  const van = document.getElementById('van');
  window.benchTaps = [];
  let lifted = 0;
  addEventListener('pointerup', (event) => { lifted = van.contains(event.target) ? event.timeStamp : 0; }, { capture: true });
  const painted = (then) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = then;
    port2.postMessage(0);
  });
  new MutationObserver((changes) => {
    const ring = changes.some((change) => [...change.addedNodes].some((node) => node.matches?.('.ring:not([data-marker])')));
    if (!ring || !lifted) return;
    const from = lifted;
    lifted = 0;
    painted(() => window.benchTaps.push(performance.now() - from));
  }).observe(van, { childList: true, subtree: true });
}"""
# From the second touch's coming down on a kind to the end of the transaction that holds the marker: what the page calls kept.
KEEPS = """() => {
  const dock = document.getElementById('dock');
  window.benchKept = [];
  let touched = 0;
  addEventListener('pointerdown', (event) => { touched = dock.contains(event.target) ? event.timeStamp : 0; }, { capture: true });
  const add = IDBObjectStore.prototype.add;
  IDBObjectStore.prototype.add = function (value, ...key) {
    if (this.name === 'outbox' && value?.event?.type === 'marker_made' && touched) {
      const from = touched;
      touched = 0;
      this.transaction.addEventListener('complete', () => window.benchKept.push(performance.now() - from));
    }
    return add.call(this, value, ...key);
  };
}"""
# Middles of zones that are in sight, a finger's breadth from every ring that lies there: a tap on a ring opens it.
SPOTS = """() => {
  const middle = (one) => { const box = one.getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; };
  const rings = [...document.querySelectorAll('#van .ring')].map(middle);
  return [...document.querySelectorAll('#van [data-zone]')].map(middle).filter(([x, y]) =>
    document.elementFromPoint(x, y)?.closest('#van') && rings.every(([u, v]) => Math.hypot(x - u, y - v) > 70));
}"""


def walk_page(folder: Path) -> list[Finding]:
    """The walk page's weight and the ring."""
    with site(folder) as here:
        unit = units.walked(here, MARKERS, finish=False)
        tablet = here.tablet("lukasz")
    with server(folder) as port, chromium(f"http://127.0.0.1:{port}", tablet) as context:
        page = context.new_page()
        weight = _weighed(context, page, f"/walk/{unit}")
        ring = _ring(context, page)
        kept = _kept(context, page)
    return [
        Finding(claim="Walk page over the wire when first opened, without photos", found=weight, unit="kB", most=150),
        Finding(claim="Ring on the screen after the tap, processor slowed four times", found=ring, unit="ms", most=50),
        Finding(
            claim="Marker kept on the tablet's disk after the touch, processor slowed four times",
            found=kept,
            unit="ms",
            most=100,
        ),
    ]


@contextmanager
def chromium(address: str, tablet: Tablet) -> Iterator[BrowserContext]:
    """A fresh browser at tablet size, signed in, with nothing kept."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        context = browser.new_context(base_url=address, has_touch=True, viewport={"width": 1180, "height": 820})
        name, value = tablet.cookie.split("=", 1)
        context.add_cookies([{"name": name, "value": value, "url": address}])
        yield context
        browser.close()


def _weighed(context: BrowserContext, page: Page, path: str) -> float:
    """Bytes received until the drawing stands, in kB of a thousand, headers included.

    What is kept for the time without a server comes later, from settings.keepAfter on, and is no part of a first visit.
    """
    network = context.new_cdp_session(page)
    network.send("Network.enable")
    received: list[float] = []
    network.on("Network.loadingFinished", lambda told: received.append(told["encodedDataLength"]))
    page.goto(path)
    page.wait_for_selector("#van .ring[data-marker]")
    page.wait_for_load_state("networkidle")
    network.detach()
    return sum(received) / 1000


def _ring(context: BrowserContext, page: Page) -> float:
    """Median milliseconds from the tap to the painted ring."""
    page.wait_for_selector("#foot:not([hidden])")
    page.evaluate(WATCH)
    processor = context.new_cdp_session(page)
    processor.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    for number in range(WARM + TAPS):
        page.tap("#tool-whole")
        page.wait_for_timeout(700)
        spots: list[list[float]] = page.evaluate(SPOTS)
        page.touchscreen.tap(*spots[number % len(spots)])
        page.wait_for_timeout(700)
    taps: list[float] = page.evaluate("window.benchTaps")
    processor.detach()
    return statistics.median(taps[WARM:])


def _kept(context: BrowserContext, page: Page) -> float:
    """Median milliseconds from the touch of a kind to the marker's transaction complete in IndexedDB."""
    page.evaluate(KEEPS)
    processor = context.new_cdp_session(page)
    processor.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    for number in range(WARM + TAPS):
        page.tap("#tool-whole")
        page.wait_for_timeout(700)
        spots: list[list[float]] = page.evaluate(SPOTS)
        page.touchscreen.tap(*spots[number % len(spots)])
        page.wait_for_timeout(700)
        page.tap("#dock [data-kind=nib]")
        page.wait_for_function("(count) => window.benchKept.length > count", arg=number)
        page.tap("#kept [data-key=undo]")  # so that there is always room for the next
    times: list[float] = page.evaluate("window.benchKept")
    processor.detach()
    return statistics.median(times[WARM:])
