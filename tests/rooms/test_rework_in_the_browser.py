"""The bench by touch in a real browser: each department its own steps, cautions first, who is next afterwards."""

import pytest
from playwright.sync_api import expect
from reworked_units import NIB, dented, done, job_of, open_job, picture, read, sent, take, walked

pytestmark = pytest.mark.browser


def test_a_department_sees_its_step_only_when_its_turn_has_come(plant, page_as):
    unit, _ = dented(plant)
    page = page_as("thanh", "/rework")
    expect(page.locator("[data-list]")).to_contain_text("Waiting for another department")
    expect(page.locator("[data-list] > .lines .job-line")).to_have_count(0)
    expect(page.get_by_role("link", name="To the floor", exact=True)).to_be_visible()

    plant.zaneta.work(unit, plant.zaneta.jobs(unit)[0], minutes=30)

    expect(page.locator("[data-list] > .lines .job-line")).to_have_count(1, timeout=20_000)
    expect(page.locator("[data-list] > .lines .job-line")).to_contain_text("booth")


def test_a_job_is_taken_in_two_taps_its_cautions_read_and_done_in_three_more(plant, page_as):
    unit, (marker,) = walked(plant, NIB)
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


def test_cautions_out_of_sight_have_to_be_brought_into_sight_before_the_job_can_be_taken(plant, page_as):
    unit, _ = dented(plant)
    page = page_as("zaneta", "/rework", size="phone")
    open_job(page, "Right cab door")

    expect(page.locator("[data-caution]")).to_have_count(7)
    expect(page.locator("[data-act=take]")).to_have_count(0)
    read(page)

    expect(page.locator("[data-act=take]")).to_have_text("I have read these 7 cautions: take it")
    page.locator("[data-act=take]").tap()
    expect(page.locator("[data-act=done]")).to_be_visible()
    sent(page)
    assert job_of(plant, unit, "taken")["taken_by"] == plant.people["zaneta"]


def test_only_the_panes_scroll_on_a_tablet_never_the_page_under_them(plant, page_as):
    parts = ("sliding_door_lower", "cab_door_lower", "sill", "front_wing", "rear_panel_lower")
    walked(plant, *[("nib", f"{side}.{part}", {"size": 15}) for side in ("left", "right") for part in parts])
    page = page_as("per", "/rework", size="wide")
    expect(page.locator("[data-list] .job-line")).to_have_count(10)

    assert page.evaluate("() => document.documentElement.scrollHeight") == 820


def test_a_step_done_says_who_is_next_and_hands_on_to_them(plant, page_as):
    unit, marker = dented(plant)
    page = page_as("zaneta", "/rework")
    finger = open_job(page, "Right cab door")
    take(page, finger)
    expect(page.locator(".chain [aria-current]")).to_have_text("Body")

    finger.tap("[data-act=done]")
    expect(page.locator("dialog .dialog-foot")).to_contain_text("Paint is next.")
    finger.tap(page.locator("dialog [data-value='60']").first)
    finger.tap("dialog .dialog-foot .btn-main")

    expect(page.locator("[data-part=says]")).to_contain_text("Done: 60 min, Żaneta Kowal. Paint is next.")
    sent(page)
    states = [job["state"] for job in sorted(plant.rows("jobs", unit), key=lambda job: job["step"])]
    assert states == ["done", "ready", "waiting"]
    assert plant.row("markers", marker)["state"] == "in_rework"


def test_minutes_are_asked_for_and_film_is_refused_with_a_sentence_when_it_cannot_be(plant, page_as):
    unit, _ = walked(plant, NIB)
    page = page_as("per", "/rework")
    take(page, open_job(page, "Left sliding door"))
    page.locator("[data-act=done]").tap()

    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog .fault").last).to_have_text("Say how many minutes it took, 0 to 2880.")
    page.locator("dialog [data-value='9']").tap()
    page.locator("#film-off").fill("900")
    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog .fault").last).to_contain_text("0 to 500 µm (got 900)")

    page.locator("#film-off").fill("3,4")
    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog")).to_have_count(0)
    sent(page)
    assert [row["film"] for row in plant.rows("work", unit)] == [34]


def test_a_photo_after_goes_with_the_step_and_belongs_to_all_its_markers(plant, page_as):
    unit, _ = walked(plant, NIB, NIB)
    page = page_as("per", "/rework")
    take(page, open_job(page, "Left sliding door"))
    page.locator("[data-act=done]").tap()

    with page.expect_file_chooser() as chooser:
        page.locator("dialog [data-photo=file]").tap()
    chooser.value.set_files({"name": "after.jpg", "mimeType": "image/jpeg", "buffer": picture()})
    expect(page.locator("dialog")).to_contain_text("One photo kept.")

    sent(page)
    (photo,) = plant.rows("photos", unit)
    assert (photo["role"], photo["marker"], photo["job"]) == ("after", None, job_of(plant, unit, "taken")["id"])


def test_clips_are_asked_of_those_who_fit_trims(plant, page_as):
    unit, _ = walked(plant, ("clip", "left.moulding_cab_door", {"count": 2}))
    page = page_as("dmytro", "/rework")
    take(page, open_job(page, "Left moulding"))
    page.locator("[data-act=done]").tap()
    page.locator("dialog .reasons").first.locator(".btn").first.tap()
    page.get_by_role("group", name="New clips used").get_by_role("button", name="3", exact=True).tap()
    page.locator("dialog .dialog-foot .btn-main").tap()
    expect(page.locator("dialog")).to_have_count(0)

    sent(page)
    assert [row["clips"] for row in plant.rows("work", unit)] == [3]
