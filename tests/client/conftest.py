"""A real Chromium, and a stub server that can misbehave."""

from __future__ import annotations

import json
import os
import signal
import socket
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route

from sample_units.chromium import FLAGS, windowless
from tests.lent import LentPage, Tablets

from .hands import OPEN, VAN, Hands
from .stub import Stub

SOURCE = Path(__file__).parents[2] / "inspect_app"
ON_A_SHOPS_NETWORK = [
    *FLAGS,
    # A name that is not localhost makes plain http what it is on a shop's network: no secure context.
    "--host-resolver-rules=MAP shop.test 127.0.0.1",
]

# Retries at once instead of after seconds.
HURRY = """async () => {
  const { settings } = await import('/client/settings.js');
  Object.assign(settings, { retryBase: 20, retryCap: 60, pollEvery: 60, setAside: 150, keepAfter: 1e8, keepEvery: 1e8 });
  window.settings = settings;
  window.tell = [];
  const bus = await import('/client/bus.js');
  for (const topic of ['status', 'signin-needed', 'rows']) {
    bus.on(topic, (detail) => window.tell.push({ topic, detail }));
  }
  window.outbox = await import('/client/outbox.js');
  window.sync = await import('/client/sync.js');
  window.mark = (tag, more = {}) => window.outbox.keep(
    { type: 'marker_made', stream: 'unit:u1', body: { marker: `m-${tag}`, tag, ...more } });
}"""

# Asked on the page itself, as often as a screen is drawn: a question from here takes longer than its answer.
UNTIL = """
  for (const end = performance.now() + 15_000; performance.now() < end;) {
    if (await asked()) return true;
    await new Promise((soon) => { setTimeout(soon, 16); });
  }
  return false;
"""
EMPTY = """async () => {
  const { run, got } = await import('/client/store.js');
  return 0 === await run(['outbox'], 'readonly', (tx) => got(tx.objectStore('outbox').count()));
}"""


def by_text(page: Page, script: str, argument: Any) -> Any:
    """Run a function on what JSON can hold, there and back as one text: Playwright walks through every value it passes."""
    whole = f"async (text) => JSON.stringify(await ({script})(JSON.parse(text)) ?? null)"
    return json.loads(page.evaluate(whole, json.dumps(argument)))


class Tablet:
    """One browser page with the client's modules at hand."""

    def __init__(self, page: Page, address: str):
        self.page = page
        self.address = address

    def open(self, *, start: bool = True) -> Tablet:
        """Load the bench page, in a hurry; with `start` as every real page does."""
        self.page.goto(self.address)
        self.page.evaluate(HURRY)
        if start:
            self.start()
        return self

    def start(self) -> None:
        self.page.evaluate("async () => (await import('/client/start.js')).start()")

    def run(self, script: str, argument: Any = None) -> Any:
        return self.page.evaluate(script, argument)

    def mark(self, *tags: str) -> None:
        """Keep markers one after the other."""
        self.run("async (tags) => { for (const tag of tags) await window.mark(tag) }", list(tags))

    def waiting(self) -> list[str]:
        """Tags in the outbox, in order."""
        script = "async () => (await window.outbox.waiting()).map(({ event }) => event.body.tag ?? event.type)"
        found: list[str] = self.run(script)
        return found

    def until(self, script: str) -> None:
        """Wait until a script, which may be async, gives something true."""
        if not self.page.evaluate(f"async () => {{ const asked = {script}; {UNTIL} }}"):
            raise AssertionError(f"never came true: {script}; {self.run('() => window.tell')}")

    def until_sent(self) -> None:
        self.until(EMPTY)

    def until_phase(self, phase: str) -> None:
        self.until(f"() => window.sync.syncStatus().phase === '{phase}'")


def kill_browser(profile: Path) -> None:
    """Kill the browser of this profile as a tablet dies whose battery is pulled: nothing of it gets to run any more."""
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            words = (folder / "cmdline").read_text().split("\0")
        except OSError:
            continue
        if f"--user-data-dir={profile}" in words and not any(word.startswith("--type=") for word in words):
            os.kill(int(folder.name), signal.SIGKILL)
            return
    raise AssertionError(f"no browser runs with the profile {profile}")


@pytest.fixture(scope="session")
def browser(chromium: Browser) -> Iterator[Browser]:
    """A Chromium that knows the shop's name. Started by the one Playwright of the run: a second one is not allowed."""
    found = chromium.browser_type.launch(executable_path=windowless(), args=ON_A_SHOPS_NETWORK)
    yield found
    found.close()


@pytest.fixture(scope="session")
def port() -> int:
    """Where the stub of each test serves: pages that are lent know one address."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@pytest.fixture
def stub(port: int) -> Iterator[Stub]:
    server = Stub()
    server.start(port)
    yield server
    server.stop()


@pytest.fixture(scope="session")
def lending(browser: Browser, port: int) -> Iterator[Tablets]:
    """The touch pages of the run, for the stub's two names."""
    made = Tablets(browser, f"http://127.0.0.1:{port}", f"http://shop.test:{port}", stands=True)
    yield made
    made.close()


@pytest.fixture
def lent(lending: Tablets, stub: Stub) -> Iterator[LentPage]:
    """An empty touch page; it goes back while the stub is still there to give the empty one."""
    found = lending.lend()
    found.page.set_viewport_size({"width": 1180, "height": 820})
    found.page.set_default_timeout(15_000)
    yield found
    lending.back(found)


@pytest.fixture
def context(lent: LentPage) -> BrowserContext:
    """The store of that page, for the tests that open another one on it."""
    return lent.context


@pytest.fixture
def tablet(lent: LentPage, stub: Stub) -> Tablet:
    """A tablet on https (localhost counts as secure), with the client started."""
    return Tablet(lent.page, f"http://127.0.0.1:{stub.port}/").open()


@pytest.fixture
def plain_tablet(lent: LentPage, stub: Stub) -> Tablet:
    """A tablet on plain http to a name on the network."""
    return Tablet(lent.page, f"http://shop.test:{stub.port}/").open()


@pytest.fixture(scope="session")
def modules(browser: Browser) -> Iterator[Page]:
    """A page to run pure modules on; nothing is started or stored there."""
    server = Stub()
    page = browser.new_page(viewport={"width": 1180, "height": 820})
    page.goto(f"http://127.0.0.1:{server.start()}/")
    yield page
    page.close()
    server.stop()


@pytest.fixture(scope="module")
def bench_modules(chromium: Browser) -> Iterator[Page]:
    """An empty page that can import the shared modules and those of the bench from disk."""
    page = chromium.new_page()
    page.route("http://van.test/**", lambda route: route.fulfill(body="<!doctype html>", content_type="text/html"))
    for script in (*(SOURCE / "client").glob("*.js"), *(SOURCE / "rooms" / "rework").glob("*.js")):
        page.route(f"http://van.test/{script.relative_to(SOURCE)}", _answered(script.read_text("utf-8")))
    page.goto("http://van.test/")
    yield page
    page.close()


def _answered(script: str) -> Callable[[Route], None]:
    """What a route does that gives a script."""
    return lambda route: route.fulfill(body=script, content_type="text/javascript")


@pytest.fixture(scope="session")
def drawing_page(browser: Browser) -> Iterator[Page]:
    """A touch page with a server of its own that never misbehaves; a board stores nothing on it."""
    server = Stub()
    address = f"http://127.0.0.1:{server.start()}/"
    context = browser.new_context(base_url=address, has_touch=True, service_workers="block")
    context.set_default_timeout(15_000)
    yield context.new_page()
    context.close()
    server.stop()


@pytest.fixture
def hands(drawing_page: Page) -> Iterator[Hands]:
    """The left view of the built-in van on a board of a page opened anew; faults of the page fail the test."""
    page = drawing_page
    faults: list[str] = []

    def fault(found: Any) -> None:
        faults.append(str(found))

    def said(words: Any) -> None:
        if words.type == "error" and "favicon" not in words.text:
            faults.append(words.text)

    page.on("pageerror", fault)
    page.on("console", said)
    page.set_viewport_size({"width": 1180, "height": 820})
    page.goto("/")
    by_text(page, OPEN, VAN.to_json())
    page.wait_for_timeout(50)
    touch = page.context.new_cdp_session(page)
    yield Hands(page, touch)
    touch.detach()
    page.remove_listener("pageerror", fault)
    page.remove_listener("console", said)
    assert [fault for fault in faults if "404" not in fault] == []
