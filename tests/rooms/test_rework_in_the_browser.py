"""The bench by touch in a real browser: each department its own steps, cautions first, who is next afterwards."""

import pytest
from playwright.sync_api import expect
from reworked_units import NIB, dented, done, job_of, open_job, picture, read, sent, take, walked

from sample_units.chromium import SIZES

pytestmark = pytest.mark.browser

WIDE = dict(zip(("width", "height"), SIZES["wide"], strict=True))


def test_a_step_waits_for_its_turn_its_cautions_are_brought_into_sight_and_done_it_hands_on_to_who_is_next(
    plant, page_as
):
    unit, marker = dented(plant)
    later = page_as("thanh", "/rework")
    expect(later.locator("[data-list]")).to_contain_text("Waiting for another department")
    expect(later.locator("[data-list] > .lines .job-line")).to_have_count(0)
    expect(later.get_by_role("link", name="To the floor", exact=True)).to_be_visible()

    # On a phone the cautions lie out of sight.
    page = page_as("zaneta", "/rework", size="phone")
    finger = open_job(page, "Right cab door")
    expect(page.locator("[data-caution]")).to_have_count(7)
    expect(page.locator("[data-act=take]")).to_have_count(0)
    read(page)
    expect(page.locator("[data-act=take]")).to_have_text("I have read these 7 cautions: take it")
    page.locator("[data-act=take]").tap()
    expect(page.locator("[data-act=done]")).to_be_visible()
    sent(page)
    assert job_of(plant, unit, "taken")["taken_by"] == plant.people["zaneta"]

    # Done on a tablet, it says who is next.
    page.set_viewport_size(WIDE)
    expect(page.locator(".chain [aria-current]")).to_have_text("Body")
    finger.tap("[data-act=done]")
    expect(page.locator("dialog .dialog-foot")).to_contain_text("Paint is next.")
    finger.tap(page.locator("dialog [data-value='60']").first)
    finger.tap("dialog .dialog-foot .btn-main")
    expect(page.locator("[data-part=says]")).to_contain_text("Done: 1 h, Żaneta Kowal. Paint is next.")
    sent(page)
    states = [job["state"] for job in sorted(plant.rows("jobs", unit), key=lambda job: job["step"])]
    assert states == ["done", "ready", "waiting"]
    assert plant.row("markers", marker)["state"] == "in_rework"

    # And whose turn it is now sees it without asking.
    expect(later.locator("[data-list] > .lines .job-line")).to_have_count(1, timeout=20_000)
    expect(later.locator("[data-list] > .lines .job-line")).to_contain_text("booth")


def test_a_job_is_taken_in_two_taps_its_cautions_read_and_done_in_three_more_and_only_the_panes_scroll(plant, page_as):
    parts = ("sliding_door_lower", "cab_door_lower", "sill", "front_wing", "rear_panel_lower")
    unit, (marker, *_) = walked(
        plant, NIB, *[("nib", f"{side}.{part}", {"size": 15}) for part in parts for side in ("left", "right")][1:]
    )
    page = page_as("per", "/rework", size="tall")
    finger = open_job(page, "Left sliding door")
    expect(page.locator("[data-caution]")).to_have_count(3)
    expect(page.locator(".clause")).to_contain_text("safety data sheet")
    take(page, finger)
    assert finger.taps == 2

    done(page, finger, 9)
    assert finger.taps == 5
    expect(page.locator("[data-part=says]")).to_contain_text("B1 now waits for its second look, not before")
    sent(page)
    assert plant.row("markers", marker)["state"] == "reworked"
    assert [(row["minutes"], row["person"]) for row in plant.rows("work", unit)] == [(9, plant.people["per"])]

    # The page under the panes holds still on a wide tablet, with nine jobs left and one done.
    page.set_viewport_size(WIDE)
    expect(page.locator("[data-list] .job-line")).to_have_count(10)
    open_job(page, "Right sliding door")  # with its cautions: both panes are full
    assert page.evaluate("() => document.documentElement.scrollHeight") == 820


def test_a_photo_after_belongs_to_all_markers_minutes_are_asked_for_and_film_is_refused_when_it_cannot_be(
    plant, page_as
):
    unit, _ = walked(plant, NIB, NIB)
    job = job_of(plant, unit)
    plant.per.take(unit, job)
    page = page_as("per", f"/rework/{job['id']}")
    page.locator("[data-act=done]").tap()

    with page.expect_file_chooser() as chooser:
        page.locator("dialog [data-photo=file]").tap()
    chooser.value.set_files({"name": "after.jpg", "mimeType": "image/jpeg", "buffer": picture()})
    expect(page.locator("dialog")).to_contain_text("One photo kept.")
    sent(page)
    (photo,) = plant.rows("photos", unit)
    assert (photo["role"], photo["marker"], photo["job"]) == ("after", None, job_of(plant, unit, "taken")["id"])

    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog .fault").last).to_have_text("Say how many minutes it took, 0 to 2880.")
    page.locator(f"dialog [data-value='{job['minutes_planned']}']").tap()
    page.locator("#film-off").fill("900")
    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog .fault").last).to_contain_text("0 to 500 µm (got 900)")

    page.locator("#film-off").fill("3,4")
    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog")).to_have_count(0)
    sent(page)
    assert [row["film"] for row in plant.rows("work", unit)] == [34, 34]  # of both markers


def test_clips_are_asked_of_those_who_fit_trims(plant, page_as):
    unit, _ = walked(plant, ("clip", "left.moulding_cab_door", {"count": 2}))
    job = job_of(plant, unit)
    plant.dmytro.take(unit, job)
    page = page_as("dmytro", f"/rework/{job['id']}")
    page.locator("[data-act=done]").tap()
    page.locator("dialog .reasons").first.locator(".btn").first.tap()
    page.get_by_role("group", name="New clips used").get_by_role("button", name="3", exact=True).tap()
    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog")).to_have_count(0)

    sent(page)
    assert [row["clips"] for row in plant.rows("work", unit)] == [3]
