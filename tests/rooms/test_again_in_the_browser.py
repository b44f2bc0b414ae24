"""Deciding on a second look by touch in a real browser: before and after, clear, send back, answer."""

import re

import pytest
from playwright.sync_api import expect
from reworked_units import NIB, SWIRL, Finger, open_unit, picture, reworked, ring, sent, walked

pytestmark = pytest.mark.browser


def events(plant, unit):
    rows = plant.journal.read().execute("SELECT type FROM events WHERE stream = ? ORDER BY n", (f"unit:{unit}",))
    return [row["type"] for row in rows]


def test_a_ring_is_cleared_in_two_taps_that_begins_the_walk_zones_undone_are_looked_at_in_one_and_then_it_ends(
    plant, page_as
):
    unit, (marker,) = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    assert "walk_started" not in events(plant, unit)[events(plant, unit).index("walk_finished") :]
    expect(page.locator("[data-act=finish]")).to_be_disabled()
    expect(page.locator("#pane-foot")).to_contain_text("Still to do: 1 ring to decide, 1 look to take again.")
    finger = Finger(page)

    finger.tap(page.locator("#van .ring[data-state=reworked] .ring-hit"))
    finger.tap("[data-act=clear]")

    expect(page.locator("#kept")).to_contain_text("B1 is cleared.")
    assert finger.taps == 2
    sent(page)
    assert plant.row("markers", marker)["state"] == "cleared"
    walks = [walk for walk in plant.rows("walks", unit) if walk["purpose"] == "again"]
    assert [walk["person"] for walk in walks] == [plant.people["lukasz"]]

    # The zone whose look the work has undone is hatched and listed.
    zone = page.locator("[data-zone='left.cab_door_lower'].zone")
    expect(zone).to_have_attribute("data-look", "again")
    expect(page.locator("#pane .again-look")).to_contain_text(["Left cab door, lower"])
    finger.tap(page.locator("[data-act=look]").first)
    expect(page.locator("#pane .again-look")).to_have_count(0)
    expect(zone).not_to_have_attribute("data-look", "again")
    expect(page.locator("#pane-foot")).to_contain_text("Everything is decided.")
    sent(page)
    looks = [look for look in plant.rows("looks", unit) if look["purpose"] == "again" and not look["undone"]]
    assert [(look["zone"], look["lap"]) for look in looks] == [("left.cab_door_lower", "lamp")]
    page.locator("#kept").get_by_role("button", name="Undo").tap()
    expect(page.locator("#pane .again-look")).to_have_count(1)

    finger.tap(page.locator("[data-act=look]").first)
    expect(page.locator("#pane-foot")).to_contain_text("Everything is decided.")
    page.wait_for_timeout(800)  # the foot takes no tap at once: the finger may still be on what stood there before
    page.locator("[data-act=finish]").tap()
    expect(page.locator("#pane")).to_contain_text("The second look is finished")
    expect(page.get_by_role("link", name="On to the sign-off")).to_have_attribute("href", f"/sign-off/{unit}")
    sent(page)
    assert plant.row("units", unit)["stage"] == "to_sign"


def test_what_waits_for_a_decision_is_lit_before_and_after_stand_side_by_side_with_what_was_done_by_whom(
    plant, page_as, client_as
):
    unit, (marker, _) = walked(plant, SWIRL, ("run", "left.front_wing", {"size": 90}))
    (job,) = (job for job in plant.per.jobs(unit) if job["method"] == "machine_polish")
    for hands, key, body in (
        (plant.ines, "01980000-0000-7000-8000-000000000001", {"marker": marker, "role": "found"}),
        (plant.per, "01980000-0000-7000-8000-000000000002", {"job": job["id"], "role": "after"}),
    ):
        assert hands.do(unit, "photo_added", {"photo": key, **body}).outcome == "applied"
        assert client_as("per").put(f"/photos/{key}", data=picture()).status_code == 200
    plant.per.work(unit, job, minutes=12, film=20)
    page = open_unit(page_as, unit)
    expect(page.locator("#van .ring[data-state=reworked]")).not_to_have_class("ring faint")
    expect(page.locator("#van .ring[data-state=open]")).to_have_class("ring faint")

    ring(page, "B1")
    pair = page.locator(".pair figure img")
    expect(pair).to_have_count(2)
    assert [image.get_attribute("alt").split(",")[0] for image in pair.all()] == ["Before", "After"]
    expect(page.locator(".facts")).to_contain_text("Machine polish, 12 min, 2 µm taken off")
    expect(page.locator(".facts")).to_contain_text("Per Halvorsen, polish and clean")


def test_whoever_worked_on_a_marker_finds_the_buttons_shut_and_is_told_why(plant, page_as):
    unit, markers = walked(plant, ("nib", "left.cab_door_lower", {"size": 4, "severity": "S4"}))
    walk = plant.ines.start_walk(unit, "second")
    extra = plant.ines.mark(unit, walk, "dirt", "left.sliding_door_lower", "C1", severity="S4")
    assert plant.ines.do(unit, "put_right_here", {"marker": extra, "how": "wipe"}).outcome == "applied"
    page = open_unit(page_as, unit, who="ines")
    page.locator("#pane .marker-line", has_text="you worked on it").tap()

    expect(page.locator("#pane")).to_contain_text("You logged work on this marker, so someone else")
    expect(page.locator("[data-act=clear]")).to_be_disabled()
    expect(page.locator("[data-act=sendback]")).to_be_disabled()
    assert len(markers) == 1


def test_a_ring_that_cures_shows_a_clock_can_only_be_sent_back_and_be_cleared_without_a_reload_when_it_has_run_out(
    plant, page_as
):
    unit, _ = reworked(plant, NIB)
    page = page_as("lukasz", "about:blank")
    page.clock.install()
    page.goto(f"/again/{unit}")
    expect(page.locator("#pane .cure")).to_contain_text("not before")
    ring(page, "B1")
    expect(page.locator(".cure-words")).to_have_text(re.compile("1 h|5. min"))
    expect(page.locator("[data-act=clear]")).to_be_disabled()
    expect(page.locator("[data-act=sendback]")).to_be_enabled()
    page.route("**/changes*", lambda route: route.abort())  # the server's clock stands; this one runs on

    page.clock.fast_forward(61 * 60 * 1000)

    expect(page.locator("[data-act=clear]")).to_be_enabled()


def test_sending_back_needs_a_reason_makes_a_new_job_with_it_and_what_a_person_wrote_ends_with_one_full_stop(
    plant, page_as
):
    swirls = [("swirl", zone, {"size": 300}) for zone in ("right.cab_door_lower", "left.sliding_door_lower")]
    unit, (first, other, third) = reworked(plant, SWIRL, *swirls)
    page = open_unit(page_as, unit)
    ring(page, "B3")
    page.locator("[data-act=sendback]").tap()
    page.locator("dialog").get_by_role("button", name="Swirls or haze around it").tap()
    expect(page.locator("#kept")).to_contain_text("B3 goes back: Swirls or haze around it.")
    sent(page)
    row = plant.row("markers", third)
    assert (row["state"], row["returns"], row["attempt"]) == ("open", 1, 2)
    (job,) = plant.per.jobs(unit)
    assert (job["attempt"], job["reason"]) == (2, "Swirls or haze around it")

    ring(page, "B1")
    page.wait_for_timeout(800)  # as above: a decision was taken here a moment ago
    page.locator("[data-act=sendback]").tap()
    page.locator("dialog .dialog-foot .btn").tap()
    expect(page.locator("dialog .fault")).to_have_text("Say why, in a tap or in a few words.")
    assert plant.row("markers", first)["state"] == "reworked"

    page.get_by_label("Or in your words").fill("still rough. Feel it.")
    page.locator("dialog .dialog-foot .btn").tap()
    expect(page.locator("#kept")).to_have_text("B1 goes back: Still rough. Feel it.")
    sent(page)
    (walk,) = (one["id"] for one in plant.rows("walks", unit) if one["purpose"] == "again")
    plant.lukasz.do(unit, "marker_sent_back", {"marker": other, "walk": walk, "reason": "haze"})
    expect(page.locator("#pane")).to_contain_text("Sent back: Haze.", timeout=20_000)
    expect(page.locator("#pane")).to_contain_text("Sent back: Still rough. Feel it.")
    ring(page, "B1")
    expect(page.locator("#pane")).to_contain_text("Sent back before: Still rough. Feel it.")
    bench = page_as("per", "/rework")
    expect(bench.locator("[data-part=says]")).to_contain_text("Sent back from the second look:")  # the first is open
    for words, said in (
        ("Swirls or haze around it; due", "Swirls or haze around it"),
        ("still rough. Feel it; due", r"Still rough\. Feel it"),
        ("haze; due", "Haze"),
    ):
        bench.locator(".job-line", has_text=words).tap()
        expect(bench.locator("[data-part=says]")).to_contain_text(
            re.compile(rf"Sent back from the second look: {said}\.$")
        )

    assert ".." not in page.inner_text("body") + bench.inner_text("body")


def test_a_proposal_is_agreed_to_or_declined_and_a_marker_goes_back_with_the_answer_to_a_question(plant, page_as):
    lost = ("swirl", "right.cab_door_lower", {"size": 300})
    unit, (first, second, third) = walked(plant, SWIRL, ("run", "left.front_wing", {"size": 90}), lost)
    for marker in (first, second):
        plant.per.do(unit, "no_flaw_proposed", {"marker": marker, "job": None, "reason": "A reflection"})
    (job,) = (job for job in plant.per.jobs(unit) if job["part"] == "cab_door_right")
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": third, "reason": "No wax left"})
    page = open_unit(page_as, unit)
    expect(page.locator("#pane")).to_contain_text("Said to be no flaw: A reflection")
    expect(page.locator("#pane")).to_contain_text("B3 cannot be found: No wax left")

    page.get_by_role("button", name="B1: no flaw, agreed").tap()
    expect(page.locator("#kept")).to_contain_text("B1 is no flaw.")
    page.get_by_role("button", name="B2: it is a flaw").tap()
    expect(page.locator("#kept")).to_contain_text("B2 is a flaw")
    sent(page)
    assert plant.row("markers", first)["state"] == "no_flaw"
    assert plant.row("markers", second)["state"] == "open"
    assert [job["method"] for job in plant.per.jobs(unit)] == ["flat_polish"]

    page.locator("[data-act=answer]").tap()
    page.locator("dialog").get_by_role("button", name="Ringed anew with wax").tap()
    expect(page.locator("[data-act=answer]")).to_have_count(0)
    sent(page)
    assert [job["reason"] for job in plant.per.jobs(unit) if job["method"] == "machine_polish"] == [
        "Ringed anew with wax"
    ]
