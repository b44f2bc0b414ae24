"""A plant with a named cast, the application on it, a real server, and real browser pages signed in as any of them."""

from __future__ import annotations

import gc
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import copy
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import settings

from inspect_app.journal import Journal
from inspect_app.journal.events import PLANT, canonical
from inspect_app.journal.tickets import secret
from inspect_app.photos import Store
from inspect_app.rooms import build
from inspect_app.rooms.house import House
from inspect_app.rooms.offline.shells import KEPT
from inspect_app.rooms.people import pins
from inspect_app.rooms.signoff import press
from inspect_app.sheet.pool import SheetPool
from inspect_app.trade.catalogue import Catalogue
from sample_units.chromium import FLAGS, SIZES, windowless
from sample_units.hands import Hands, admit, hire
from tests.compiled import COMPILED
from tests.lent import LentPage, Standing, Tablets

# Times belong to the bench: on a crowded machine an example may take as long as it takes.
settings.register_profile("without deadline", deadline=None)
settings.load_profile("without deadline")

PIN = "2580"
LONG = {
    "test_kill.py",
    "test_follow.py",
    "test_whole_chain.py",
    "test_without_the_server.py",
    "test_half_year.py",
    "test_setup_in_the_browser.py",
    "test_signoff_in_the_browser.py",
    "test_walk_going.py",
    "test_walk_marking.py",
    "test_this_tablet.py",
    "test_demo_photos.py",
    "test_hostile_forms.py",
    "test_json_routes.py",
    "test_press.py",
    "test_screens.py",
    "test_signed_out_and_leaving.py",
    "test_switching.py",
    "test_what_is_kept.py",
}
"""Files that take longest, each twenty seconds or more on two crowded cores."""
CAST = {
    "maud": ("Maud Esterházy", ("manager", "inspector"), ()),
    "ines": ("Ines Okafor", ("inspector",), ()),
    "lukasz": ("Łukasz Brandt", ("inspector",), ()),
    "per": ("Per Halvorsen", ("technician",), ("polish", "paint", "prep")),
    "thanh": ("Nguyễn Thanh", ("technician",), ("paint",)),
    "zaneta": ("Żaneta Kowal", ("technician",), ("body",)),
    "dmytro": ("Дмитро Савчук", ("technician",), ("trim", "fit", "glass")),
}


class Plant:
    """A journal with the cast at work; `plant.ines` and the others are hands at tablets of their own."""

    maud: Hands
    ines: Hands
    lukasz: Hands
    per: Hands
    thanh: Hands
    zaneta: Hands
    dmytro: Hands

    def __init__(self, journal: Journal, pin_hash: str):
        self.journal = journal
        self.people: dict[str, str] = {}
        for key, (name, roles, departments) in CAST.items():
            self.people[key] = hire(journal, name, roles, departments, pin_hash=pin_hash)
            setattr(self, key, Hands(journal, self.people[key], admit(journal), roles, departments))
        self._built = 0

    def on(self, journal: Journal) -> Plant:
        """The same cast at work on a copy of its folder."""
        made = copy(self)
        made.journal, made.people = journal, dict(self.people)
        for key in CAST:
            hands = copy(getattr(self, key))
            hands.journal = journal
            setattr(made, key, hands)
        return made

    def unit(self, last_six: str = "047312", **more: object) -> str:
        """Bring in a unit and return its id."""
        self._built += 1
        unit = {
            "chassis": f"ZZBRT6L{self._built % 10}0KA{last_six}",
            "plant": "Halden yard",
            "build_number": f"HB-{100 + self._built}",
            "make": "Brennach",
            "model": "Tourer 6",
            "colour": "Fjord grey",
            "colour_hex": "#5d7183",
            "finish": "metallic",
            "options": [],
            "due": self.journal.clock() + 86_400_000,
        }
        return self.maud.arrive(**{**unit, **more})

    def publish(self, made: Catalogue) -> None:
        """Put a catalogue in force, as a manager does under Setup."""
        body = {"hash": made.hash, "content": canonical(made.to_json()), "from": self.journal.catalogue().hash}
        self.journal.record(self.maud.ticket, PLANT, "catalogue_published", body)

    def row(self, table: str, key: str) -> dict[str, object]:
        """One row of a projection."""
        return dict(self.journal.read().execute(f"SELECT * FROM {table} WHERE id = ?", (key,)).fetchone())

    def rows(self, table: str, unit: str) -> list[dict[str, object]]:
        """Rows of a projection for one unit."""
        return [
            dict(row)
            for row in self.journal.read().execute(f"SELECT * FROM {table} WHERE unit = ? ORDER BY n", (unit,))
        ]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Try a browser test once more: two crowded cores can be slower than a finger. The summary counts every rerun.

    Files that take long go first, so that no worker has one left when the others have nothing to do.
    """
    items.sort(key=lambda item: item.path.name not in LONG)
    for item in items:
        if item.get_closest_marker("browser"):
            item.add_marker(pytest.mark.flaky(reruns=1))


def pytest_collection_finish() -> None:
    """Leave what was collected out of every search for garbage, for it stays to the end, and search less often."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 50, 50)


LIGHT = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


@pytest.fixture(scope="session", autouse=True)
def light_hashes() -> Iterator[None]:
    """Hash PINs with little cost: there are thousands, and each takes what a guess is to take. See test_pins.py."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pins, "hasher", lambda: LIGHT)
        yield


@pytest.fixture(scope="session")
def pin_hash() -> str:
    """The cast's one PIN, hashed once."""
    return LIGHT.hash(PIN)


@pytest.fixture(scope="session", autouse=True)
def compiled_once(worker_id: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Let the workers of one run share what Jinja makes."""
    if worker_id != "master":
        COMPILED.share(tmp_path_factory.getbasetemp().parent / "templates")


@pytest.fixture(scope="session")
def empty_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder as the first start leaves it, to be copied: its migrations are run once, not once a test."""
    folder = tmp_path_factory.mktemp("first") / "data"
    Journal(folder).close()
    return folder


@pytest.fixture(scope="session")
def staffed(empty_folder: Path, pin_hash: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Plant]:
    """A data folder with the cast at work, to be copied too."""
    folder = tmp_path_factory.mktemp("staffed") / "data"
    shutil.copytree(empty_folder, folder, ignore=shutil.ignore_patterns("lock"))
    with Journal(folder, lasting=False) as journal:
        return folder, Plant(journal, pin_hash)


@pytest.fixture
def journal(empty_folder: Path, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Journal]:
    """The journal on a data folder with nothing but the cast, or without it in a test that has no `plant`."""
    folder = request.getfixturevalue("staffed")[0] if "plant" in request.fixturenames else empty_folder
    shutil.copytree(folder, tmp_path / "data", ignore=shutil.ignore_patterns("lock"))
    made = Journal(tmp_path / "data", lasting=False)  # that kept is kept is for the tests that kill and full disks
    yield made
    if "app" not in request.fixturenames:  # else it was closed with the application
        made.close()


class Client(FlaskClient):
    """A test client that closes what it has sent: werkzeug's writes a large upload to a file and leaves it open."""

    def open(self, *args: Any, **how: Any) -> Any:
        """Send a request and return its answer."""
        answer = super().open(*args, **how)
        answer.request.environ["wsgi.input"].close()
        return answer


@pytest.fixture(scope="session")
def wired(empty_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The application with all its routes, wired once: that takes longer than most tests do."""
    folder = tmp_path_factory.mktemp("wired") / "data"
    shutil.copytree(empty_folder, folder)
    made = build(folder, {"TESTING": False})
    made.jinja_env.bytecode_cache = COMPILED
    made.test_client_class = Client
    made.extensions[KEPT] = {}  # the pages that a tablet keeps are the same in every test
    made.extensions["lampwalk"].close()
    return made


class Lent(SheetPool):
    """A drawing process that outlives the application it draws for."""

    def close(self) -> None:
        """Leave it running for the next one."""


@pytest.fixture(scope="session")
def drawing() -> Iterator[Lent]:
    """The one drawing process of the run: to start one takes longer than to draw a sheet."""
    made = Lent()
    yield made
    SheetPool.close(made)


@pytest.fixture
def app(journal: Journal, wired: Flask, drawing: Lent, monkeypatch: pytest.MonkeyPatch) -> Iterator[Flask]:
    """The application on that journal, with nothing left of the test before."""
    monkeypatch.setattr(press, "SheetPool", lambda: drawing)
    config, extensions = dict(wired.config), dict(wired.extensions)
    wired.extensions["lampwalk"] = House(journal=journal, photos=Store(journal.folder.photos))
    wired.config["SECRET_KEY"] = secret(journal.folder.path, "session.key")
    yield wired
    wired.extensions["lampwalk"].close()
    for kept, before in ((wired.config, config), (wired.extensions, extensions)):
        kept.clear()
        kept.update(before)


@pytest.fixture
def plant(journal: Journal, staffed: tuple[Path, Plant], pin_hash: str) -> Plant:
    """The cast at work on an otherwise empty plant."""
    at_work = journal.read().execute("SELECT 1 FROM people").fetchone()  # not in a journal of the test's own
    return staffed[1].on(journal) if at_work else Plant(journal, pin_hash)


@pytest.fixture
def client_as(app: Flask, plant: Plant) -> Callable[[str], FlaskClient]:
    """Test clients signed in as one of the cast, by sending what a page of ours sends."""

    def sign_in(key: str) -> FlaskClient:
        client = app.test_client()
        client.environ_base["HTTP_X_LAMPWALK"] = "1"
        answer = client.post("/sign-in", json={"person": plant.people[key], "pin": PIN})
        assert answer.status_code == 200, answer.text
        return client

    return sign_in


@pytest.fixture(scope="session")
def standing(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Standing, str]]:
    """The one server of the run, and its address."""
    from inspect_app.serving import running

    made = Standing(tmp_path_factory.mktemp("standing"))
    with running(made, data_dir=made.folder) as address:
        yield made, address


@pytest.fixture
def served(app: Flask, plant: Plant, standing: tuple[Standing, str]) -> Iterator[str]:
    """The address of a real server on the plant."""
    server, address = standing
    with server.before(app.wsgi_app, app.extensions["lampwalk"].journal.folder.path):
        yield address


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """One real Chromium for the whole run."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=windowless(), args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def tablets(chromium, standing: tuple[Standing, str]) -> Iterator[Tablets]:  # type: ignore[no-untyped-def]
    """The touch pages of the run."""
    made = Tablets(chromium, standing[1], stands=True)
    yield made
    made.close()


@pytest.fixture
def page_as(tablets: Tablets, served: str, plant: Plant):  # type: ignore[no-untyped-def]
    """Touch pages signed in as one of the cast; each call is a tablet of its own. Page errors fail the test."""
    lender = tablets if served in tablets.addresses else Tablets(tablets.browser, served)  # a server of the test's own
    out: list[LentPage] = []
    errors: list[str] = []

    def open_page(key: str, path: str = "/", *, size: str = "wide", theme: str = "lamp", motion: bool = False):  # type: ignore[no-untyped-def]
        width, height = SIZES[size]
        lent = lender.lend()
        out.append(lent)
        page, context = lent.page, lent.context
        page.set_viewport_size({"width": width, "height": height})
        # With less motion: a drawing that glides is painted ten times, by a processor that has no graphics to do it.
        page.emulate_media(reduced_motion="no-preference" if motion else "reduce")
        context.add_cookies([{"name": "theme", "value": theme, "url": served}])
        headers = {"X-Lampwalk": "1", "Origin": served}
        answer = context.request.post("/sign-in", data={"person": plant.people[key], "pin": PIN}, headers=headers)
        assert answer.ok, answer.text()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if "Content Security Policy" in said.text else None)
        page.goto(path)
        return page

    yield open_page
    for lent in out:
        lender.back(lent)
    if lender is not tablets:
        lender.close()
    assert errors == []


@contextmanager
def no_more_than(seconds: float) -> Iterator[None]:
    """Fail when something hangs; generous, so that it never measures speed."""
    import time

    start = time.monotonic()
    yield
    assert time.monotonic() - start < seconds
