"""The order of the bench's list: what is late says why, a manager's word goes first, the booth's jobs stand by load."""

import pytest
from playwright.sync_api import expect
from reworked_units import NIB, open_job, sent, walked

pytestmark = pytest.mark.browser
HOUR = 3_600_000


def late_and_early(plant):
    """A van due tomorrow with a nib, and one due in two hours with a nib."""
    early, _ = walked(plant, NIB, unit=plant.unit("047312"))
    late, _ = walked(plant, NIB, unit=plant.unit("118940", due=plant.journal.clock() + HOUR))
    return early, late


def lines(page):
    return page.locator("[data-list] > .lines .job-line")


def test_the_most_urgent_van_is_first_a_late_one_says_why_and_a_marker_that_is_over_only_together_says_so(
    plant, page_as
):
    late_and_early(plant)
    near = [
        ("nib", "left.sliding_door_lower", {"size": 5, "x": 30_000 + 200 * n, "y": 12_000, "spread": 0})
        for n in range(2)
    ]
    walked(plant, *near, unit=plant.unit("205116"))
    page = page_as("per", "/rework")

    expect(lines(page)).to_have_count(3)
    expect(lines(page).first).to_contain_text("118 940")
    expect(lines(page).first.locator("[data-late]")).to_contain_text(
        "Late: "
    )  # an hour, and nine minutes with a cure of one hour
    expect(lines(page).first.locator("[data-late]")).to_contain_text("left for 1 h 9 min of work and waits")
    expect(lines(page).first).to_contain_text("9 min of work and 1 h of waits left")
    for line in (1, 2):
        expect(lines(page).nth(line).locator("[data-late]")).to_have_count(0)

    open_job(page, "205 116")
    expect(page.locator("[data-part=marks] [data-cluster=over]").first).to_contain_text("the limit is 300 mm or more")


def test_what_a_manager_puts_first_goes_before_what_is_late_and_says_who(plant, page_as):
    early, _ = late_and_early(plant)
    page = page_as("maud", "/rework")
    page.locator(".job-line", has_text="047 312").tap()
    page.get_by_role("button", name="This one first").tap()

    expect(lines(page).first).to_contain_text("047 312")
    expect(lines(page).first).to_contain_text("Put first by Maud Esterházy; in time: ")
    sent(page)
    assert [row["pinned_by"] for row in plant.rows("jobs", early)] == [plant.people["maud"]]

    page.get_by_role("button", name="Back into its turn").tap()
    expect(lines(page).first).to_contain_text("118 940")


def test_jobs_for_the_booth_stand_together_by_colour_and_bake(plant, page_as):
    shade = ("mottling", "left.sliding_door_lower", {})
    for six, more in (("118940", {}), ("047312", {"colour": "Moss"}), ("205116", {})):
        walked(plant, shade, unit=plant.unit(six, **more))
    page = page_as("thanh", "/rework")

    expect(lines(page)).to_have_count(3)
    expect(page.locator(".bench-load")).to_have_text(["Booth load: Fjord grey, on the van"])
    shown = page.locator(".bench-load, [data-list] .job-line .six").all_text_contents()
    load = shown.index("Booth load: Fjord grey, on the van")
    assert sorted(shown[load + 1 : load + 3]) == ["118 940", "205 116"]
