"""One van from a line of a CSV to its signed sheet, by touch at tablet size, by the people whose job each step is."""

import io

import pytest
from outlining import by_numbers, for_model
from playwright.sync_api import expect
from pypdf import PdfReader
from reworked_units import open_job, sent, take
from test_signoff_in_the_browser import NAME, draw, pin
from walking import Tablet

from inspect_app.journal.verify import verify

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]

LIST = """plant;chassis number;build number;make;model;colour;finish;options;due date
Halden yard;1M8GDM9AXKP042788;HB-7;Brennach;Tourer 6;Fjord grey;metallic;awning rail;24/12/2026
"""
DOOR = "left.sliding_door_lower"


def bring_in(page):
    """Setup: the manager imports the list."""
    page.locator("input[type=file]").set_input_files(
        {"name": "week.csv", "mimeType": "text/csv", "buffer": LIST.encode()}
    )
    page.get_by_role("button", name="Import").tap()
    expect(page.locator(".says").first).to_contain_text("1 unit")


def walk(page, plant):
    """Floor, last six, first walk: one swirl on the sliding door, every other zone clean, finished.

    On another tablet somebody looks along; left to this one are the right side and a zone of each view and lap. A whole
    lap by touch is test_walk_going.py.
    """
    for digit in "042788":
        page.locator(".find-pad [data-key], .find-pad .key").get_by_text(digit, exact=True).first.tap()
    page.locator(".found a").first.tap()
    page.wait_for_url("**/walk/**")
    tablet = Tablet(page).begin().view("left")
    tablet.touch(DOOR, 0.5, 0.4)
    tablet.tap("#dock .kind-more")
    tablet.tap("dialog [data-kind=swirl]")
    expect(page.locator("#kept .tag")).to_be_visible()
    tablet.tap("#go")
    tablet.sent()
    looked_along(tablet, plant)
    tablet.rest_of_the_lap()
    expect(page.locator("#go")).to_have_text("Finish the walk", timeout=30_000)
    tablet.tap("#go")
    tablet.tap("dialog .btn-main")
    expect(page.locator("dialog").last).to_contain_text("The walk is finished")
    tablet.sent()


def looked_along(tablet, plant):
    """Maud looks at most of the van; wait until this tablet has heard of it."""
    [made] = plant.journal.read().execute("SELECT id, unit FROM walks WHERE state = 'walking'").fetchall()
    lap = tablet.page.get_attribute("#laps [aria-pressed=true]", "data-lap")
    left = set()

    def first_of_its_view(zone, of):
        view = zone.partition(".")[0]
        if of == lap and view == "right":
            return True
        fresh = (view, of) not in left
        left.add((view, of))
        return fresh

    told = plant.maud.look_everywhere(made["unit"], made["id"], but=first_of_its_view)
    assert len(told) > 60
    assert {answer.outcome for answer in told} == {"applied"}
    here = sum(row["lap"] == lap for row in plant.rows("looks", made["unit"]))
    expect(tablet.page.locator("[data-looked]")).to_have_text(str(here), timeout=20_000)
    expect(tablet.page.locator("#go")).to_have_text("Next zone")  # the one it stood at has been looked at
    tablet.tap("#go")
    expect(tablet.page.locator("#go")).to_have_text("Nothing found")


def rework(page):
    """The bench: take the polish, do it."""
    finger = open_job(page, "Left sliding door")
    take(page, finger)
    finger.tap("[data-act=done]")
    finger.tap(page.locator("dialog [data-value]").first)
    finger.tap("dialog .dialog-foot .btn-main")
    expect(page.locator("[data-part=says]")).to_contain_text("waits for its second look")
    sent(page)


def look_again(page):
    """The second look by another inspector: clear the ring, look at what the work undid, finish."""
    page.locator("#pane .marker-line").first.tap()
    page.locator("[data-act=clear]").tap()
    expect(page.locator("#kept")).to_contain_text("is cleared.")
    looks = page.get_by_role("button", name="Nothing found")
    while looks.count():
        before = looks.count()
        looks.first.tap()
        expect(looks).to_have_count(before - 1)
    page.wait_for_timeout(800)  # a second tap right after clearing means nothing there, by design
    page.locator("[data-act=finish]").tap()
    expect(page.locator("#pane")).to_contain_text("The second look is finished")
    sent(page)


def water_dry(page):
    """Write down a shower of ten minutes with nothing inside, as a hand does."""
    water = page.locator("[data-gate=water]")
    water.get_by_label("How it was tested").select_option("shower")
    water.get_by_label("Minutes of water").fill("10")
    water.get_by_label("Flow of a nozzle").fill("15")
    water.get_by_label("Result").select_option("dry")
    water.get_by_role("button", name="Keep it by my name").tap()


def sign(page):
    """Sign-off: what wants a name, signature, PIN, one tap; the sheet is made."""
    page.get_by_role("button", name="They agree with the van").tap()
    expect(page.locator("[data-gate=identity]")).to_contain_text("holds")
    page.locator("[data-confirm=parts]").tap()
    expect(page.locator("[data-gate=parts]")).to_contain_text("holds")
    water_dry(page)
    expect(page.locator("[data-gate=water]")).to_contain_text("holds")
    draw(page, *NAME)
    pin(page)
    page.locator("#sign-now").tap()
    expect(page.get_by_role("link", name="Open A4")).to_be_visible(timeout=60_000)


def test_a_van_goes_from_a_list_to_a_signed_sheet_by_touch_on_an_outline_made_for_its_model(plant, page_as, served):
    before = plant.unit("000001")
    manager = page_as("maud", "/setup/outlines")
    key = by_numbers(manager)
    for_model(manager)
    manager.goto("/setup/units/import")
    bring_in(manager)
    unit = plant.journal.read().execute("SELECT id FROM units WHERE last_six = '042788'").fetchone()["id"]
    assert plant.row("units", unit)["outline"] == key
    assert plant.row("units", before)["outline"] != key

    walk(page_as("ines", "/"), plant)
    assert plant.row("units", unit)["stage"] == "in_rework"
    marker = plant.rows("markers", unit)[0]
    assert (marker["zone"], marker["part"]) == (DOOR, "sliding_door_left")
    looked = {row["zone"] for row in plant.rows("looks", unit) if row["person"] == plant.people["ines"]}
    assert {"right.side_panel_lower", "right.moulding_side_panel"} <= looked
    assert "right.running_board" not in {row["zone"] for row in plant.rows("looks", unit)}

    rework(page_as("per", "/rework"))
    look_again(page_as("lukasz", f"/again/{unit}"))
    assert plant.row("units", unit)["stage"] == "to_sign"
    last = page_as("ines", f"/sign-off/{unit}")
    sign(last)

    pdf = last.context.request.get(f"/sheets/{unit}/A.pdf")
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf.body())).pages)
    said = ("1M8GDM9AXKP042788", "HB-7", "Ines Okafor", "Łukasz Brandt", "Per Halvorsen", "Short one", key[:12])
    assert [word for word in said if word not in text] == []
    assert plant.row("units", unit)["stage"] == "signed"
    told = verify(plant.journal.folder.path)
    assert told.clean, told.sentence
