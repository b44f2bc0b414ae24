"""A shift without a server, for real: frozen, killed, the tablet reloaded and restarted; then everything goes out in order."""

from __future__ import annotations

import base64
import io
import re

import pytest
from PIL import Image
from playwright.sync_api import expect

from inspect_app.journal.verify import verify
from tests.rooms import reworked_units, walking
from tests.rooms.reworked_units import NIB, SWIRL

pytestmark = pytest.mark.browser
MARKERS, PHOTOS = 400, 120
# Markers all over the left side with a photo on each third or so, through the modules that a tap goes through.
VOLUME = """async ({ unit, walk, markers, photos, picture }) => {
  const { keep } = await need('outbox');
  const { uuid7 } = await need('ids');
  const { look } = await need('view');
  const { keptVersion, LIFECYCLE } = await need('versions');
  const table = await keptVersion(LIFECYCLE);
  const data = Uint8Array.from(atob(picture), (letter) => letter.charCodeAt(0)).buffer;
  const first = Number((await look(unit, { table })).nextTag(unit).replace(/^[A-Z]+/, ''));
  const letters = (await (await need('identity')).whoAmI()).letters;
  const stream = `unit:${unit}`;
  const kept = [];
  for (let number = 0; number < markers; number += 1) {
    const marker = uuid7();
    const spot = { lap: 'lamp', kind: 'dirt', view: 'left', x: 20600 + (number % 20) * 100, y: 20000 + Math.floor(number / 20) * 50, spread: 100 };
    // A page that shows all of it need not be drawn anew after each: forty at a time are under way, kept in this order.
    if (number % 40 === 0) await Promise.all(kept.splice(0));
    const keepNext = (...what) => kept.push(keep(...what));
    keepNext({ type: 'marker_made', stream, body: { marker, tag: `${letters}${first + number}`, walk, ...spot } });
    if (Math.floor((number * photos) / markers) === Math.floor(((number + 1) * photos) / markers)) continue;
    const photo = uuid7();
    keepNext({ type: 'photo_added', stream, body: { photo, marker, job: null, role: 'found' } }, { photo, data: data.slice(0), type: 'image/jpeg' });
  }
  await Promise.all(kept);
}"""
WALK = """async (unit) => {
  const { keptVersion, LIFECYCLE } = await need('versions');
  const { state } = await (await need('view')).look(unit, { table: await keptVersion(LIFECYCLE) });
  return state.walks.find((walk) => walk.state === 'walking').id;
}"""
ORDER = """SELECT e.n, e.seq, e.type, e.stream FROM events e WHERE e.tablet = (
  SELECT tablet FROM events WHERE type = 'marker_made' AND stream = ? ORDER BY n LIMIT 1) ORDER BY e.n"""


def small_jpeg() -> str:
    """A picture as base64."""
    into = io.BytesIO()
    Image.effect_noise((64, 48), 60).convert("RGB").save(into, "JPEG")
    return base64.b64encode(into.getvalue()).decode()


def filled(plant):
    """A van to walk, one to work on, one to look at again with a photo that the server has."""
    fresh = plant.unit("047312")
    nibbed, _ = reworked_units.walked(plant, NIB, unit=plant.unit("118940"))
    swirled, (marker,) = reworked_units.walked(plant, SWIRL, unit=plant.unit("203655"))
    photo = "01980000-0000-7000-8000-000000000001"
    assert (
        plant.ines.do(swirled, "photo_added", {"photo": photo, "marker": marker, "role": "found"}).outcome == "applied"
    )
    client = plant.app.test_client()
    client.environ_base["HTTP_X_LAMPWALK"] = "1"
    client.post("/sign-in", json={"person": plant.people["ines"], "pin": "2580"})
    assert client.put(f"/photos/{photo}", data=reworked_units.picture()).status_code == 200
    for job in plant.per.jobs(swirled):
        plant.per.work(swirled, job, minutes=12)
    return fresh, nibbed, swirled, marker


def marked_by_touch(tablet, unit):
    """Walk a van that this tablet has never opened: two markers, then what was there is there after a reload."""
    tablet.page.goto(f"{tablet.address}/walk/{unit}")
    walk = walking.Tablet(tablet.page).begin().view("left")
    tags = [walk.mark("left.sliding_door_lower"), walk.mark("left.cab_door_lower")]
    tablet.says("3 not sent yet")
    tablet.page.reload()
    walk.view("left")
    assert walk.tags() == tags


def worked_by_touch(tablet):
    """Take a job and do it."""
    page = tablet.page
    page.goto(f"{tablet.address}/rework")
    finger = reworked_units.open_job(page, "Left sliding door")
    reworked_units.take(page, finger)
    reworked_units.done(page, finger, 9)
    expect(page.locator("[data-part=says]")).to_contain_text("Kept on this tablet, not sent yet")


def looked_again_by_touch(tablet, unit):
    """Look at the photo from before, small, and clear the ring."""
    page = tablet.page
    page.goto(f"{tablet.address}/again/{unit}")
    reworked_units.ring(page, "B1")
    expect(page.locator(".pair figure img").first).to_have_attribute("src", re.compile("^blob:"))
    page.locator("[data-act=clear]").tap()
    expect(page.locator("#kept")).to_contain_text("B1 is cleared.")


def found_on_the_floor(tablet, fresh, swirled):
    """The floor tells what stands where, what was done here counted in, and finds a van by its last six."""
    page = tablet.page
    page.goto(tablet.address)
    groups = page.locator("[data-groups]")
    expect(groups).to_contain_text("The server does not answer. Here is what this tablet keeps")
    expect(groups.locator(f"[aria-labelledby=g-walking] a[href='/walk/{fresh}']")).to_contain_text("047")
    expect(groups.locator(f"a[href='/again/{swirled}']").first).to_be_visible()
    expect(page.locator(".rooms a[href='/rework']")).to_be_visible()
    expect(page.locator(".rooms a[href='/setup']")).to_be_hidden()
    page.locator("[data-find-unit]").tap()
    for digit in "1189":
        page.locator("dialog").get_by_role("button", name=digit, exact=True).tap()
    expect(page.locator("dialog a.found-line")).to_contain_text("118 940")


def test_a_shift_without_the_server_is_worked_through_and_goes_out_whole_and_in_order(shop, tablet_of, pin_hash):
    fresh, nibbed, swirled, _ = shop.furnish(filled, pin_hash)
    shop.start()
    tablet = tablet_of(shop)
    tablet.sign_in("signe")
    tablet.keeps(pictures=True)

    shop.freeze()
    marked_by_touch(tablet, fresh)
    worked_by_touch(tablet)
    shop.kill()
    looked_again_by_touch(tablet, swirled)
    found_on_the_floor(tablet, fresh, swirled)
    unsent = tablet.unsent()

    tablet.off()
    tablet.on()
    tablet.page.goto(f"{tablet.address}/walk/{nibbed}")
    expect(tablet.page.locator("#foot, #begin [data-purpose]").first).to_be_visible()
    tablet.run(VOLUME, {
        "unit": fresh, "walk": tablet.run(WALK, fresh), "markers": MARKERS, "photos": PHOTOS, "picture": small_jpeg(),
    })  # fmt: skip
    everything = unsent + MARKERS + 2 * PHOTOS  # a photo is an event and a picture
    tablet.off()
    tablet.on()
    tablet.page.goto(f"{tablet.address}/walk/{fresh}")
    tablet.says(f"{everything} not sent yet")

    shop.start()
    tablet.says("All sent", timeout=90_000)
    assert tablet.run("async () => (await (await need('outbox')).answers()).map((one) => one.reason)") == []
    shop.stop()

    assert verify(shop.folder).clean
    counted = "SELECT count(*) AS all_, count(DISTINCT tag) AS tags FROM markers WHERE unit = ?"
    assert shop.rows(counted, fresh) == [{"all_": MARKERS + 2, "tags": MARKERS + 2}]
    assert shop.rows("SELECT state, count(*) AS n FROM photos WHERE unit = ? GROUP BY state", fresh) == [
        {"state": "stored", "n": PHOTOS}
    ]
    assert [row["state"] for row in shop.rows("SELECT state FROM markers WHERE unit <> ? ORDER BY unit", fresh)] == [
        "reworked",
        "cleared",
    ]
    sent = shop.rows(ORDER, f"unit:{fresh}")
    assert [row["seq"] for row in sent] == sorted(row["seq"] for row in sent)
    assert len({row["seq"] for row in sent}) == len(sent)
