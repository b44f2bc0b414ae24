"""Safety timers at the bench: started without the server, seen by everybody, ended by name and never by themselves."""

import pytest
from accessible import faults_everywhere
from playwright.sync_api import expect
from reworked_units import job_of, sent, sideways, walked

pytestmark = pytest.mark.browser
FLAKING = ("flaking", "left.moulding_cab_door", {"size": 300})  # stripped, flamed, sprayed
HOUR = 3_600_000


@pytest.fixture
def flamed(plant):
    """A moulding to be stripped, at a department of Per."""
    unit, _ = walked(plant, FLAKING)
    told = {"job": job_of(plant, unit)["id"], "department": "paint", "reason": "strip is away"}
    assert plant.maud.do(unit, "job_rerouted", told).outcome == "applied"
    return unit


def start(page, caution, place, minutes):
    page.locator(f"[data-act=timer][data-caution={caution}]").tap()
    page.locator("#timer-place").fill(place)
    page.locator("#timer-minutes").fill(minutes)
    page.locator("dialog .btn-main").tap()


def test_a_fire_watch_starts_without_the_server_outlives_a_reload_and_ends_only_by_name(plant, flamed, page_as):
    job = job_of(plant, flamed)
    plant.per.take(flamed, job)
    page = page_as("per", f"/rework/{job['id']}")
    expect(page.locator("[data-act=timer][data-caution=flame]")).to_be_visible()
    page.context.set_offline(True)

    start(page, "flame", "flame station", "20")
    expect(page.locator("dialog .fault")).to_contain_text("at least 30 minutes (got 20)")
    page.locator("#timer-minutes").fill("45")
    page.locator("dialog .btn-main").tap()
    line = page.locator("[data-timers] .timer")
    expect(line).to_contain_text("Fire watch, flame station")
    expect(line).to_contain_text("not sent yet")

    page.context.set_offline(False)
    sent(page)
    page.reload()
    expect(line).to_contain_text("started by Per Halvorsen")
    expect(line.locator(".cure-words")).to_contain_text("min")
    expect(line).not_to_contain_text("not sent yet")
    assert faults_everywhere(page) == []

    line.locator("[data-act=timer-end]").tap()
    expect(page.locator("dialog")).to_contain_text("Its time is not over")
    page.locator("dialog .reasons .btn", has_text="Started by mistake").tap()
    expect(line).to_have_count(0)
    sent(page)
    (row,) = plant.rows("timers", flamed)
    assert (row["state"], row["reason"], row["ended_by"]) == ("ended", "Started by mistake", plant.per.person)


def test_when_its_time_is_over_it_stands_there_until_somebody_has_looked_and_one_that_runs_is_on_all_pages_of_its_van(
    plant, flamed, page_as, client_as
):
    at = plant.journal.clock()
    plant.journal.clock = lambda: at - HOUR
    plant.per.sign_in()
    told = {"timer": "01900000-0000-7000-8000-0000000000aa", "caution": "isocyanate", "place": "Booth 2", "minutes": 30}
    assert plant.per.do(flamed, "timer_started", told).outcome == "applied"
    plant.journal.clock = lambda: at

    floor = page_as("ines", "/", size="phone")
    expect(floor.locator(".timer")).to_contain_text("Booth clearance, Booth 2")
    expect(floor.locator(".timer")).to_contain_text("Time is over")
    assert sideways(floor) == 0
    floor.locator(".timer").tap()

    floor.locator("[data-timers] [data-act=timer-end]").tap()
    expect(floor.locator("dialog")).to_contain_text("that alone makes nothing safe")
    floor.locator("dialog .btn-main").tap()
    expect(floor.locator("[data-timers] .timer")).to_have_count(0)
    sent(floor)
    (row,) = plant.rows("timers", flamed)
    assert (row["state"], row["reason"], row["ended_by"]) == ("ended", None, plant.ines.person)

    told = {
        "timer": "01900000-0000-7000-8000-0000000000ab",
        "caution": "flame",
        "place": "flame station",
        "minutes": 45,
    }
    assert plant.per.do(flamed, "timer_started", told).outcome == "applied"

    page = floor
    page.goto(f"/walk/{flamed}")
    expect(page.locator("a.timer")).to_contain_text("Fire watch, flame station")
    expect(page.locator("a.timer .cure-words")).to_contain_text("45 min")
    expect(page.locator("a.timer")).to_have_attribute("href", "/rework")
    assert sideways(page) == 0
    ines = client_as("ines")
    assert "Fire watch, flame station" in ines.get(f"/sign-off/{flamed}").text
    assert "Fire watch" not in ines.get(f"/sign-off/{plant.unit()}").text
