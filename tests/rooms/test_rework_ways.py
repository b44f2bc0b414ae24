"""The ways to put a flaw right, on the bench: what is open, what is barred and why, and another way by touch."""

import pytest
from playwright.sync_api import expect
from reworked_units import NIB, open_job, read, sent, walked

from sample_units.chromium import SIZES
from sample_units.hands import new_id

pytestmark = pytest.mark.browser

WIDE = dict(zip(("width", "height"), SIZES["wide"], strict=True))


def way(page, key):
    return page.locator(f".ways li[data-method={key}]")


def test_barred_ways_are_struck_through_with_their_reason_an_open_one_takes_two_taps_a_barred_one_a_reason(
    plant, page_as
):
    unit, (marker,) = walked(plant, NIB)
    other, _ = walked(plant, ("nib", "right.cab_door_lower", {"size": 15}))
    page = page_as("per", "/rework", size="tall")
    open_job(page, "Left sliding door")
    expect(way(page, "denib_polish")).to_have_attribute("aria-current", "true")
    expect(way(page, "strip_refinish").locator("s")).to_have_count(1)
    expect(way(page, "strip_refinish")).to_contain_text("Only a plastic trim is taken off and stripped.")

    way(page, "refinish").locator("button").tap()
    page.locator("dialog .btn-main").tap()

    expect(page.locator("[data-part=head]")).to_contain_text("needs the booth")
    expect(page.locator(".chain")).to_contain_text("Paint")
    sent(page)
    assert [(row["method"], row["state"]) for row in plant.rows("jobs", unit)] == [
        ("refinish", "ready"),
        ("refinish", "waiting"),
    ]
    assert plant.row("markers", marker)["department"] == "paint"

    # A barred way is done all the same only with a reason, which stands there afterwards.
    page.set_viewport_size(WIDE)
    open_job(page, "Right cab door")
    expect(page.locator("[data-part=head]")).to_contain_text("Right cab door")
    way(page, "strip_refinish").locator("button").tap()
    expect(page.locator("dialog")).to_contain_text("It is barred: Only a plastic trim is taken off and stripped.")
    page.locator("dialog .dialog-foot button").tap()
    expect(page.locator("dialog .fault")).to_contain_text("Say why")

    page.get_by_role("button", name="A manager agreed").tap()

    expect(way(page, "strip_refinish")).to_contain_text("Done all the same, Per Halvorsen: A manager agreed.")
    sent(page)
    reasons = [row["method_reason"] for row in plant.rows("jobs", other) if row["state"] == "ready"]
    assert reasons == ["A manager agreed"]


def test_what_is_seen_out_of_reach_of_the_server_bars_the_job_at_once(plant, page_as):
    _, (marker,) = walked(plant, NIB)
    page = page_as("per", "/rework")
    open_job(page, "Left sliding door")
    page.context.set_offline(True)
    page.locator(".ways-ask summary").tap()
    page.locator("[data-fact=depth][data-value=base]").tap()

    expect(page.locator("[data-part=says] [data-tone=wrong]")).to_contain_text(
        "It lies below the clear: polishing opens it."
    )
    expect(page.locator("[data-part=foot]")).to_contain_text("Choose a way first")
    way(page, "spot_repair").locator("button").tap()
    page.locator("dialog .btn-main").tap()
    read(page)
    expect(page.locator("[data-act=take]")).to_be_visible()

    page.context.set_offline(False)
    sent(page)
    assert plant.row("markers", marker)["method"] == "spot_repair"


def test_what_is_left_of_the_clear_is_told_in_figures_and_a_film_reading_is_taken_into_account(plant, page_as):
    unit, (marker,) = walked(plant, NIB)
    for _ in range(2):
        plant.per.work(unit, plant.per.jobs(unit)[0])
        plant.lukasz.do(unit, "marker_sent_back", {"marker": marker, "reason": "still felt"})
    measured, _ = walked(plant, ("nib", "right.cab_door_lower", {"size": 15}))
    told = {"reading": new_id(), "what": "film", "part": "cab_door_right", "method": "magnetic", "film": 650}
    plant.per.online(measured, "reading_taken", told)

    page = page_as("per", "/rework")
    open_job(page, "Left sliding door")

    expect(page.locator(".film-line")).to_contain_text(
        "B1: film was taken off here 2 times. 8 of 12 µm are off this spot; 32 µm of clear are left (assumed, not read)."
    )
    expect(way(page, "denib_polish").locator("s")).to_have_count(1)
    expect(way(page, "denib_polish")).to_contain_text("28 µm of clear would stay (assumed, not read); 30 µm must.")

    open_job(page, "Right cab door")

    expect(way(page, "denib_polish")).to_contain_text(
        "the whole film is 65 µm (magnetic gauge); below 70 µm nothing is cut"
    )
    expect(page.locator(".film-line")).to_contain_text("Film read: 65 µm (magnetic gauge), Per Halvorsen, ")
    expect(page.locator("[data-part=foot]")).to_contain_text("Choose a way first")
