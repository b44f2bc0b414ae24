"""A newer Lampwalk on the server: it waits for unsent work, is offered, and what an older one kept stays until then."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from playwright.sync_api import expect

from inspect_app.rooms import edition
from inspect_app.rooms.offline.shells import KEPT
from tests.rooms import reworked_units, walking

pytestmark = pytest.mark.browser
ONE_KEPT = "async () => (await caches.keys()).filter((name) => name.startsWith('lampwalk-')).length === 1"


@pytest.fixture
def renew(app, served):
    """What puts a newer edition on the running server: the addresses of the old one are gone there."""
    place = "rooms/floor/floor.css"
    before = edition.assets()[place]

    def put(asset):
        edition.assets()[place] = asset  # type: ignore[index]
        edition.name.cache_clear()
        app.extensions.pop(KEPT, None)

    yield lambda: put(edition.Asset(before.kind, before.content + b"\n.newest { color: red }"))
    put(before)


def edition_of(page):
    return page.locator('script[src*="/client/theme.js"]').get_attribute("src").split("/")[2]


def test_a_newer_version_waits_for_unsent_work_and_is_then_offered_never_forced(plant, served, renew, tablet_of):
    unit = plant.unit()
    tablet = tablet_of(SimpleNamespace(address=served, people=plant.people))
    tablet.sign_in("ines")
    tablet.keeps()
    page = tablet.page
    page.route("**/sync", lambda route: route.abort())
    page.goto(f"{served}/walk/{unit}")
    walk = walking.Tablet(page).begin().view("left")
    tag = walk.mark("left.sliding_door_lower")
    old = edition_of(page)

    renew()
    page.reload()  # the server answers, and has another edition; the marker still waits
    walk.view("left")
    assert (edition_of(page), walk.tags()) == (old, [tag])
    page.wait_for_function("async () => (await navigator.serviceWorker.getRegistration())?.active")
    tablet.until("async () => (await navigator.serviceWorker.getRegistration()).waiting !== null")
    assert "it waits until everything is sent" in tablet.panel()
    expect(page.locator(".newer")).to_have_count(0)

    reworked_units.in_reach(page)
    tablet.says("All sent", timeout=60_000)  # the old client and the newer server understand each other
    expect(page.locator(".newer")).to_contain_text("A newer Lampwalk is ready.")
    assert edition_of(page) == old
    page.locator(".newer").get_by_role("button", name="Reload").tap()
    page.wait_for_function(
        "(old) => !document.querySelector('script[src*=\"/client/theme.js\"]')?.src.includes(old)", arg=old
    )
    tablet.until(ONE_KEPT)
    assert plant.row("units", unit)["markers"] == 1


def test_a_store_that_a_newer_version_has_grown_still_serves_this_one(plant, served, tablet_of):
    plant.unit()
    tablet = tablet_of(SimpleNamespace(address=served, people=plant.people))
    tablet.page.goto(f"{served}/sign-in")
    tablet.page.evaluate("""() => new Promise((done) => {
      const opening = indexedDB.open('lampwalk', 99);
      opening.onsuccess = () => done(opening.result.close());
      opening.onupgradeneeded = () => {
        const lay = (name, keyPath) => opening.result.createObjectStore(name, { keyPath });
        lay('outbox', 'seq').createIndex('id', 'id', { unique: true });
        lay('rows', ['scope', 'table', 'id']);
        for (const [name, key] of Object.entries({ photos_out: 'photo', photo_bytes: 'photo', pictures: 'photo', answers: 'id', settled: 'seq',
          feeds: 'scope', tickets: 'id', meta: 'key', later: 'id' })) lay(name, key);
      };
    })""")  # fmt: skip
    tablet.sign_in("ines")

    tablet.keeps()
    assert tablet.run("async () => (await (await need('identity')).whoAmI()).name") == "Ines Okafor"
