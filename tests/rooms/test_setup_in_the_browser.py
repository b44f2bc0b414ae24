"""Every page of floor, units, setup and rates: clean to axe, no scrolling sideways, in both themes and at three sizes."""

from __future__ import annotations

import json

import pytest
from accessible import faults_everywhere
from playwright.sync_api import expect

from inspect_app.journal.events import Refusal
from inspect_app.rooms.house import house
from inspect_app.rooms.people.codes import codes
from inspect_app.rooms.setup import bringing, outbox, outbox_file
from inspect_app.rooms.tablet import SHUT_OUT

pytestmark = pytest.mark.browser

PAGES = (
    "/", "/units", "/units/find?last6=0473", "/units/{unit}", "/units/{unit}/correct", "/setup", "/setup/people", "/setup/people/new",
    "/setup/people/{per}", "/setup/people/{per}/pin", "/setup/tablets", "/setup/tablets/{tablet}", "/setup/tablets/new", "/setup/tablets/codes/{code}", "/admit", "/setup/outbox", "/setup/outbox/{report}", "/setup/settings", "/units/new",
    "/setup/units/import", "/setup/catalogue/kinds", "/setup/catalogue/methods", "/setup/catalogue/limits", "/setup/catalogue/cautions",
    "/setup/catalogue/gates", "/setup/departments", "/rates", "/rates?from=soon", "/rates?origin=paint",
)  # fmt: skip


@pytest.fixture
def names(app, plant):
    """A plant with something on every page; what the addresses name."""
    for number in range(5):
        unit = plant.unit(f"{500_000 + number}")
        walk = plant.ines.start_walk(unit)
        plant.ines.mark(unit, walk, "nib", "left.sliding_door_lower", "B1", size=15)
        plant.ines.finish_walk(unit, walk)
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    marker = plant.rows("markers", unit)[0]["id"]
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": marker, "reason": "no nib here"})
    plant.unit("047312")
    code = codes(app).make(name="booth 2", by=plant.people["maud"], now=plant.journal.clock())
    return {
        "unit": unit,
        "per": plant.people["per"],
        "tablet": shut_out_with_work(plant, unit),
        "code": code.key,
        "report": report(app, plant, unit),
    }


def report(app, plant, unit):
    """A report of an outbox file with something of each outcome."""
    late = plant.per.event(unit, "job_taken", {"job": "x", "cautions": []})
    walk = plant.lukasz.event(unit, "walk_started", {"walk": late["id"], "purpose": "first"})
    tokens = [plant.journal.tickets.write(hands.ticket) for hands in (plant.per, plant.lukasz)]
    file = {"format": "lampwalk-outbox", "version": 1, "tablet": plant.per.tablet, "tickets": tokens, "events": [late, walk, 7],
            "photos": [{"photo": late["id"], "data": "AAAA"}]}  # fmt: skip
    with app.app_context():
        parcel = outbox_file.read(json.dumps(file).encode())
        return outbox._keep(bringing.bring(house(), plant.maud.ticket, parcel))


def shut_out_with_work(plant, unit):
    """A tablet that was shut out and sent something afterwards."""
    late = plant.per.event(unit, "job_taken", {"job": "x", "cautions": []})
    plant.journal.record(plant.maud.ticket, "plant", "tablet_shut_out", {"tablet": plant.per.tablet})
    token = plant.journal.tickets.write(plant.per.ticket)
    plant.journal.keep_aside(
        [late, "no event"], [token], tablet=plant.per.tablet, refusal=Refusal("shut_out", SHUT_OUT)
    )
    return plant.per.tablet


def test_axe_finds_nothing_and_nothing_scrolls_sideways(names, page_as):
    page = page_as("maud")
    wrong = []
    for address in PAGES:
        page.goto(address.format(**names))
        wrong += [f"{address}: {fault}" for fault in faults_everywhere(page)]

    assert wrong == []


def test_axe_finds_nothing_on_the_open_keypad(names, page_as):
    page = page_as("maud")
    page.locator("[data-find-unit]").tap()
    page.keyboard.type("500")
    expect(page.locator("dialog a.found-line")).to_have_count(5)

    assert faults_everywhere(page) == []


def test_what_breaks_a_rule_is_found(names, page_as):
    page = page_as("maud")
    page.evaluate("""() => {
      const pale = Object.assign(document.createElement('p'), { textContent: 'Pale' });
      Object.assign(pale.style, { color: '#777', background: '#888', width: '2000px' });
      document.querySelector('main').append(pale, document.createElement('img'));
    }""")

    found = faults_everywhere(page)

    assert {"wide, lamp, color-contrast", "wide, lamp, image-alt", "tall, day, color-contrast"} <= {
        one.partition(": ")[0] for one in found
    }
    assert "phone scrolls sideways" in found


def test_a_person_is_added_by_keyboard_alone_with_faults_mended_on_the_way(plant, page_as):
    page = page_as("maud", "/setup/people/new")
    page.get_by_label("Name").focus()
    page.keyboard.type("Noor Haddad")
    page.keyboard.press("Enter")
    expect(page.get_by_text("'Roles': choose one at least.")).to_be_visible()

    page.get_by_label("Inspector").focus()
    page.keyboard.press("Space")
    page.get_by_label("PIN").focus()
    page.keyboard.type("7351")
    page.keyboard.press("Enter")

    expect(page.locator(".says-list")).to_have_text("Noor Haddad can sign in.")


def test_a_list_is_imported_by_touch_and_its_units_stand_on_the_floor(plant, page_as, tmp_path):
    file = tmp_path / "units.csv"
    file.write_text(
        "plant,chassis number,build number,make,model,colour,finish\n"
        "Halden yard,ZZBRT6L10KA118940,HB-1,Brennach,Tourer 6,Fjord grey,metallic\n"
        "Halden yard,ZZBRT6L10KA,HB-2,Brennach,Tourer 6,Fjord grey,metallic\n"
    )
    page = page_as("maud", "/setup/units/import")
    page.get_by_label("List of units").set_input_files(file)
    page.get_by_role("button", name="Import").tap()
    expect(page.get_by_text("1 unit came in, 1 row was not taken.")).to_be_visible()

    with page.expect_download() as download:
        page.get_by_role("link", name="Rows not taken, as CSV").tap()
    page.get_by_role("link", name="To the floor", exact=True).tap()

    assert download.value.suggested_filename == "units.bad.csv"
    expect(page.locator("[data-groups]")).to_contain_text("118 940")
