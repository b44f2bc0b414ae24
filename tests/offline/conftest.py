"""A tablet with a profile of its own that can be switched off and on, and a server that can be frozen, killed and started."""

from __future__ import annotations

import re
import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from inspect_app import create_app
from inspect_app.journal import Journal
from sample_units.chromium import FLAGS, windowless
from sample_units.hands import hire
from tests.conftest import PIN, Plant
from tests.serving.command import Served

SIGNE = ("Signe Aalto", ("inspector", "technician"), ("prep", "paint", "polish"))  # walks, works and looks again
# The client's own modules, whatever edition the page is of; they are running already, so none is asked of a server.
MODULE = """async (place) => (await import(
  new URL('all.js', document.querySelector('script[src*="/client/theme.js"]').src).href)).need(`client/${place}.js`)"""
KEPT = """async () => {
  const { keptHere } = await (%s)('keeping');
  const kept = await keptHere();
  return Boolean(navigator.serviceWorker.controller) && kept !== null && (kept.pictures > 0 || !%s);
}"""

# A page waits four seconds (settings.keepAfter) before it fetches what it keeps; a test need not.
SOONER = """{
  const { setTimeout: plain } = window;
  window.setTimeout = (call, ms, ...rest) => plain(call, ms === 4000 ? 200 : ms, ...rest);
}"""


class Shop:
    """The plant's folder and the server on it; always on one port, since a tablet knows one address."""

    def __init__(self, folder: Path):
        self.folder = folder
        with socket.socket() as one:
            one.bind(("127.0.0.1", 0))
            self.port = one.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"
        self.people: dict[str, str] = {}
        self.server: Served | None = None

    def furnish(self, fill: Callable[[Plant], Any], pin_hash: str) -> Any:
        """Bring in the cast, and what `fill` adds, before the server starts."""
        app = create_app(self.folder)
        journal = app.extensions["lampwalk"].journal
        plant = Plant(journal, pin_hash)
        plant.app = app  # type: ignore[attr-defined]
        name, roles, departments = SIGNE
        self.people = {**plant.people, "signe": hire(journal, name, roles, departments, pin_hash=pin_hash)}
        made = fill(plant)
        app.extensions["lampwalk"].close()
        return made

    def start(self) -> None:
        """Serve."""
        self.server = Served(self.folder, "--port", str(self.port))

    def freeze(self) -> None:
        """Let it be there and say nothing."""
        assert self.server
        self.server.process.send_signal(signal.SIGSTOP)

    def kill(self) -> None:
        """End it as a power cut would."""
        if self.server:
            self.server.close()
        self.server = None

    def stop(self) -> None:
        """End it in good order."""
        assert self.server
        assert self.server.stop() == 0
        self.kill()

    def rows(self, sql: str, *values: object) -> list[dict[str, Any]]:
        """Read its store, which is to be at rest."""
        with Journal(self.folder) as journal:
            return [dict(row) for row in journal.read().execute(sql, values)]


class Tablet:
    """One browser profile. Its pages keep what they keep when it is switched off."""

    def __init__(self, chromium: Any, profile: Path, address: str, people: dict[str, str], *args: str):
        self._launch = chromium.browser_type.launch_persistent_context
        self.profile, self.address, self.people = profile, address, people
        self.faults: list[str] = []
        self.context: BrowserContext
        self.page: Page
        self.on(*args)

    def on(self, *args: str) -> None:
        """Switch it on: a new browser on the old profile, with one page."""
        self.context = self._launch(
            self.profile, executable_path=windowless(), args=[*FLAGS, *args], base_url=self.address,
            has_touch=True, viewport={"width": 1180, "height": 820},
        )  # fmt: skip
        self.context.set_default_timeout(20_000)
        self.context.add_init_script(SOONER)
        self.page = self.context.pages[0] if self.context.pages else self.context.new_page()
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))

    def off(self) -> None:
        """Switch it off."""
        self.context.close()

    def sign_in(self, who: str) -> None:
        """Pick a name, type a PIN."""
        self.page.goto(f"{self.address}/sign-in")
        self.page.locator(f"[data-person='{self.people[who]}']").tap()
        self.page.locator("[name=pin]").fill(PIN)
        self.page.keyboard.press("Enter")
        self.page.wait_for_url(f"{self.address}/")

    def run(self, script: str, argument: Any = None) -> Any:
        """Run a script that gets the client's modules by `await need(place)`."""
        return self.page.evaluate(f"(argument) => {{ const need = {MODULE}; return ({script})(argument); }}", argument)

    def until(self, script: str) -> None:
        """Wait until such a script gives something true."""
        for _ in range(400):
            with suppress(Exception):  # the page may be on its way to another
                if self.run(script):
                    return
            self.page.wait_for_timeout(50)
        raise AssertionError(f"never came true: {script}")

    def keeps(self, *, pictures: bool = False) -> None:
        """Wait until this tablet needs no server any more."""
        self.until(KEPT % ("need", str(pictures).lower()))

    def unsent(self) -> int:
        """How many events and photos wait."""
        script = """async () => (await (await need('outbox')).waiting()).length
          + (await (await need('photos_out')).photosWaiting()).length"""
        return int(self.run(script))

    def says(self, words: str | re.Pattern[str], **how: Any) -> None:
        """Expect the strip to say so."""
        expect(self.page.locator("[data-sent]").first).to_have_text(words, **how)

    def panel(self) -> str:
        """What the panel behind the strip's word says."""
        self.page.locator("[data-sent-button]").tap()
        words = self.page.locator("#sent-list").inner_text()
        self.page.locator("#sent-list").get_by_role("button", name="Close").tap()
        return words


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A folder and its server, not started yet."""
    made = Shop(tmp_path / "data")
    yield made
    made.kill()


@pytest.fixture
def tablet_of(chromium: Any, tmp_path: Path) -> Iterator[Callable[..., Tablet]]:
    """A tablet for a shop, its browser started with these arguments. Faults on its pages fail the test."""
    made: list[Tablet] = []

    def open_tablet(shop: Any, *args: str) -> Tablet:
        made.append(Tablet(chromium, tmp_path / f"profile-{len(made)}", shop.address, shop.people, *args))
        return made[-1]

    yield open_tablet
    for tablet in made:
        tablet.off()
        assert tablet.faults == []
