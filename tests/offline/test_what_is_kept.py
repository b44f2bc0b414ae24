"""What stands on a tablet for the time without a server, what never does, and what is said when its store fails."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from playwright.sync_api import expect

from inspect_app import create_app
from tests.conftest import PIN
from tests.rooms import reworked_units, walking

pytestmark = pytest.mark.browser
EVERYTHING = """async () => {
  const found = [];
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) {
      const answer = await cache.match(request, { ignoreVary: true });
      found.push([new URL(request.url).pathname, answer.status, answer.type, answer.redirected, await answer.text()]);
    }
  }
  return found;
}"""


@pytest.fixture
def tablet(plant, served, tablet_of):
    """Ines's tablet, with her first van kept on it."""
    plant.unit()
    made = tablet_of(SimpleNamespace(address=served, people=plant.people))
    made.sign_in("ines")
    made.keeps()
    return made


def marked(tablet, plant):
    """On the walk, with one marker that cannot be sent."""
    (unit,) = (row["id"] for row in plant.journal.read().execute("SELECT id FROM units"))
    tablet.page.route("**/sync", lambda route: route.abort())
    tablet.page.goto(f"{tablet.address}/walk/{unit}")
    walk = walking.Tablet(tablet.page).begin().view("left")
    walk.mark("left.sliding_door_lower")
    tablet.says("2 not sent yet")
    return walk


def panel_says(tablet):
    """What is kept, and how much room there is."""
    words = tablet.panel()

    assert "opens without the server too, also after a reload" in words
    assert "1 open unit kept on this tablet, as of" in words
    assert "MB of" in words
    tablet.page.goto(f"{tablet.address}/parts")
    assert "This page needs the server; the floor, walks, rework" in tablet.panel()


def pictures_give_way(tablet):
    """Small pictures go where there is no room for work; one more entry is kept."""
    left = tablet.run("""async () => {
      const { run, got, StoreError } = await need('store');
      await run(['pictures'], 'readwrite', (tx) => got(tx.objectStore('pictures').put({ photo: 'p', data: new ArrayBuffer(9), type: 'image/jpeg' })));
      const add = IDBObjectStore.prototype.add;
      IDBObjectStore.prototype.add = function (value) {
        IDBObjectStore.prototype.add = add; // the first try finds no room
        throw new DOMException('full', 'QuotaExceededError');
      };
      const units = (await (await need('feed')).cachedRows('')).units;
      await (await need('outbox')).keep({ type: 'zone_looked', stream: `unit:${units[0].id}`, body: {} });
      return (await need('pictures')).countPictures();
    }""")  # fmt: skip

    assert left == 0
    assert tablet.unsent() == 3


def holds_no_name_no_token_and_no_persons_page(tablet):
    """Of what stands in the caches for the time without a server."""
    tablet.page.goto(f"{tablet.address}/sign-out")
    tablet.page.goto(f"{tablet.address}/rework")
    found = tablet.page.evaluate(EVERYTHING)
    token = tablet.run("""async () => {
      const { got, run } = await need('store');
      return (await run(['tickets'], 'readonly', (tx) => got(tx.objectStore('tickets').getAll())))[0].token;
    }""")

    pages = [path for path, *_ in found if not path.startswith("/e/")]
    assert sorted(pages) == ["/shell/again", "/shell/floor", "/shell/rework", "/shell/walk"]
    assert {(status, kind, redirected) for _, status, kind, redirected, _ in found} == {(200, "basic", False)}
    for words in ("Okafor", "Esterházy", "ZZBRT6L", token, PIN):
        assert [path for path, *_, text in found if words in text and not path.startswith("/e/")] == []


def cleared_store_is_said(tablet):
    """With the number of entries that are lost, until it was seen."""
    tools = tablet.context.new_cdp_session(tablet.page)
    tools.send("Storage.clearDataForOrigin", {"origin": tablet.address, "storageTypes": "indexeddb"})
    tablet.page.reload()

    said = tablet.page.locator("[data-wiped]")
    expect(said).to_contain_text("3 entries that were not sent are lost; look at the units you worked on")
    said.get_by_role("button", name="I have seen it").tap()
    tablet.page.reload()
    tablet.says("All sent")
    expect(said).to_have_count(0)


def nobodys_page_shows_no_unit(tablet):
    """After a sign-out."""
    page = tablet.page
    page.goto(f"{tablet.address}/sign-out")
    page.get_by_role("button", name="Sign out").tap()
    page.wait_for_url("**/sign-in")
    page.route("**/*", lambda route: route.continue_())
    tablet.context.set_offline(True)
    page.goto(tablet.address)

    expect(page.locator("[data-nobody]")).to_contain_text("Nobody is signed in on this tablet")
    expect(page.locator("main")).to_be_hidden()


def full_store_is_said_and_takes_nothing_back(tablet, plant):
    """With no room for a photo, nor then for a mark; what waited before goes out."""
    marked(tablet, plant)
    path = tablet.page.url
    tablet.off()
    tablet.on()  # a browser that has set no room aside yet
    tools = tablet.context.new_cdp_session(tablet.page)
    tools.send("Storage.overrideQuotaForOrigin", {"origin": tablet.address, "quotaSize": 3_000_000})
    tablet.page.route("**/sync", lambda route: route.abort())
    tablet.page.goto(path)
    walk = walking.Tablet(tablet.page).view("left")
    said = tablet.run("""async () => {
      const { keep } = await need('outbox');
      const data = new Uint8Array(2 ** 23); // noise, since zeros would be packed to nothing
      for (let at = 0; at < data.length; at += 65536) crypto.getRandomValues(data.subarray(at, at + 65536));
      const photo = { photo: 'p', data: data.buffer, type: 'image/jpeg' };
      return keep({ type: 'photo_added', stream: 'unit:u', body: {} }, photo).catch((fault) => fault.message);
    }""")
    tablet.page.evaluate("""() => {
      IDBObjectStore.prototype.add = () => { throw new DOMException('full', 'QuotaExceededError'); };
    }""")
    walk.touch("left.cab_door_lower")
    walk.tap("#dock [data-kind=nib]")

    assert "storage is full, so this was not kept" in said
    expect(tablet.page.locator("#kept")).to_contain_text(said)
    assert tablet.unsent() == 2
    tools.send("Storage.overrideQuotaForOrigin", {"origin": tablet.address})
    reworked_units.in_reach(tablet.page)
    tablet.page.reload()
    tablet.says("All sent", timeout=60_000)


def test_what_is_kept_is_said_gives_way_names_nobody_is_missed_when_cleared_takes_nothing_back_when_full_and_goes_at_a_sign_out(
    tablet, plant
):
    panel_says(tablet)
    marked(tablet, plant)
    walk = tablet.page.url
    pictures_give_way(tablet)
    holds_no_name_no_token_and_no_persons_page(tablet)
    tablet.page.goto(walk)
    walking.Tablet(tablet.page).view("left")  # nothing is being read any more when the store goes
    tablet.says("3 not sent yet")
    cleared_store_is_said(tablet)

    tablet.keeps()  # its first van again
    full_store_is_said_and_takes_nothing_back(tablet, plant)
    nobodys_page_shows_no_unit(tablet)


def test_over_plain_http_a_page_says_that_its_reload_needs_the_server(plant, served, tablet_of):
    shop = SimpleNamespace(address=served.replace("127.0.0.1", "shop.test"), people=plant.people)
    tablet = tablet_of(shop, "--host-resolver-rules=MAP shop.test 127.0.0.1")
    tablet.sign_in("ines")

    assert "A reload needs the server here" in tablet.panel()
    tablet.until("async () => (await (await need('keeping')).keptHere()) !== null")  # rows are kept all the same


def test_while_one_works_on_the_scripts_nothing_is_kept_and_what_was_goes(tmp_path):
    app = create_app(tmp_path / "plain", PLAIN=True)
    client = app.test_client()

    assert "unregister" in client.get("/sw.js").text
    assert client.get("/shell/floor").status_code == 404
    assert "data-keeps" not in client.get("/sign-in", follow_redirects=True).text
    app.extensions["lampwalk"].close()
