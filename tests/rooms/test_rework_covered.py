"""What a refinish of its part covers is not the next job, on the bench and on the floor, and stays within reach."""

import pytest
from desk import Desk
from playwright.sync_api import expect
from reworked_units import NIB, read, sent, walked
from test_floor import groups

SHADE = ("mottling", "left.sliding_door_lower", {})


def polish(plant, unit):
    return next(job for job in plant.rows("jobs", unit) if job["method"] == "denib_polish")


def test_the_floor_counts_what_is_covered_among_what_waits(plant, client_as):
    unit, _ = walked(plant, NIB, SHADE)
    found = groups(Desk(client_as("per")).get("/"))
    assert "1 job for paint" in found["Jobs to take"]
    assert "1 job covered by the refinish of its part" in found["Jobs that wait"]

    plant.maud.online(unit, "job_pinned", {"job": polish(plant, unit)["id"], "pinned": True})
    found = groups(Desk(client_as("per")).get("/"))
    assert (
        "2 jobs for paint and polish" in found["Jobs to take"] or "2 jobs for polish and paint" in found["Jobs to take"]
    )
    assert "covered" not in found["Jobs that wait"]


@pytest.mark.browser
def test_a_polish_that_would_be_painted_over_stands_apart_with_its_reason_and_can_be_taken_all_the_same(plant, page_as):
    unit, _ = walked(plant, NIB, SHADE)
    walked(plant, ("nib", "right.cab_door_lower", {"size": 8}), unit=plant.unit("118940"))
    page = page_as("per", "/rework")
    page.locator("select").select_option("polish")

    free, apart = page.locator("[data-list] > .lines .job-line"), page.locator("[data-key=fold-covered]")
    expect(free).to_have_count(1)
    expect(free).to_contain_text("Right cab door")
    expect(apart.locator("summary")).to_have_text("Covered by a refinish 1")
    apart.locator("summary").tap()
    expect(apart.locator(".line-why")).to_contain_text("covered by the refinish of its part; due")

    apart.locator(".job-line").tap()
    says = page.locator("[data-part=says]")
    expect(says).to_contain_text(
        "Left sliding door gets a new film for B2, which covers this. Leave it until the paint is on, then look at it again."
    )
    expect(says.get_by_role("link", name="Plan it with the refinish")).to_have_attribute("href", f"/units/{unit}/plan")
    read(page)
    expect(page.locator("[data-act=take]")).to_have_text("Take it all the same")
    page.locator("[data-act=take]").tap()
    expect(page.locator("[data-act=done]")).to_be_visible()
    sent(page)
    assert polish(plant, unit)["state"] == "taken"


@pytest.mark.browser
def test_once_the_paint_is_on_it_is_next_again(plant, page_as):
    unit, _ = walked(plant, NIB, SHADE)
    paint = next(job for job in plant.rows("jobs", unit) if job["department"] == "paint")
    plant.thanh.take(unit, paint)
    page = page_as("per", f"/rework/{polish(plant, unit)['id']}")
    expect(page.locator("[data-part=says]")).to_contain_text("gets a new film for B2")
    expect(page.get_by_role("link", name="Plan it with the refinish")).to_have_count(
        0
    )  # what is in hand is not planned

    plant.thanh.work(unit, plant.row("jobs", paint["id"]))

    expect(page.locator("[data-key=fold-covered]")).to_have_count(0, timeout=20_000)
    expect(page.locator("[data-part=says]")).not_to_contain_text("new film")


@pytest.mark.browser
def test_bare_metal_is_put_to_its_own_way_and_not_left_until_the_paint_is_on(plant, page_as, client_as):
    unit, _ = walked(plant, ("chip", "left.cab_door_lower", {"size": 60}), ("mottling", "left.cab_door_lower", {}))
    job = next(job for job in plant.rows("jobs", unit) if job["method"] == "spot_repair")
    page = page_as("thanh", f"/rework/{job['id']}")
    says = page.locator("[data-part=says]")
    expect(says).to_contain_text("gets a new film for B2")
    page.get_by_text("What decides more").tap()
    page.locator("[data-fact=depth][data-value=metal]").tap()
    expect(says).to_contain_text("This way is barred here: Bare metal is treated against rust first.")
    expect(says).not_to_contain_text("new film")
    expect(page.locator("[data-key=fold-covered]")).to_have_count(0)
    sent(page)
    assert "covered" not in str(groups(Desk(client_as("thanh")).get("/")))


@pytest.mark.browser
def test_where_all_that_is_left_is_covered_the_list_says_so_and_a_time_one_has_hides_none_of_it(plant, page_as):
    unit, _ = walked(plant, ("nib", "left.sliding_door_lower", {"size": 8, "count": 4}), SHADE)
    assert polish(plant, unit)["minutes_planned"] > 10
    page = page_as("per", "/rework")
    page.locator("select").select_option("polish")
    empty, apart = page.locator("[data-list] .empty"), page.locator("[data-key=fold-covered]")
    expect(empty).to_contain_text(
        "1 job waits for the paint of its part. It stands below, and can be taken all the same."
    )
    expect(empty).not_to_contain_text("Nothing waits for you")
    expect(page.locator("[data-list-head] h1")).to_have_text("Polish 1 job covered")
    page.locator("[data-act=fits][data-minutes='10']").tap()
    expect(empty).to_contain_text("Nothing fits into 10 minutes")
    expect(apart.locator("summary")).to_have_text("Covered by a refinish 1")
