"""When a job does not go as planned, by touch in a real browser: each way out with its reason."""

import pytest
from playwright.sync_api import expect
from reworked_units import NIB, Finger, done, job_of, open_job, sent, walked, why

pytestmark = pytest.mark.browser


def test_a_job_is_handed_back_another_gets_a_step_before_it_and_a_third_is_sent_to_the_right_department(plant, page_as):
    nibs = ("left.sliding_door_lower", "left.cab_door_lower", "right.cab_door_lower")
    (back, _), (deeper, _), (wrong, _) = (walked(plant, ("nib", zone, {"size": 15})) for zone in nibs)
    for unit in (back, deeper):
        plant.per.take(unit, job_of(plant, unit))
    page = page_as("per", f"/rework/{job_of(plant, back, 'taken')['id']}")

    why(page, "handback", "End of shift")

    line = page.locator(".job-line", has_text="Left sliding door")
    expect(line.locator(".line-why")).to_contain_text("back: End of shift")
    assert job_of(plant, back, "ready")["taken_by"] is None

    open_job(page, "Left cab door")
    why(page, "step", "Paint", "Local colour, clear to the edge", "Broke through to primer")

    steps = sorted(plant.rows("jobs", deeper), key=lambda job: job["step"])
    assert [(job["department"], job["method"], job["state"]) for job in steps] == [
        ("paint", "spot_repair", "ready"),
        ("polish", "denib_polish", "waiting"),
    ]
    expect(page.locator(".chain li").first).to_have_text("Paint", timeout=20_000)

    open_job(page, "Right cab door")
    why(page, "reroute", "Body", "The kind of defect is another one")

    assert job_of(plant, wrong, "ready")["department"] == "body"


def test_a_job_that_somebody_has_is_let_go_by_a_manager_alone(plant, page_as):
    unit, _ = walked(plant, NIB)
    job = job_of(plant, unit, "ready")
    plant.per.take(unit, job)
    page = page_as("ines", f"/rework/{job['id']}")
    expect(page.locator("[data-part=says]")).to_contain_text("Only they or a manager can hand it back")
    expect(page.locator("[data-act=reroute], [data-act=handback]")).to_have_count(0)

    page = page_as("maud", f"/rework/{job['id']}")
    why(page, "handback", "End of shift")

    assert job_of(plant, unit, "ready")["taken_by"] is None


def test_a_job_that_waits_for_a_part_stands_apart_until_it_has_come(plant, page_as):
    unit, _ = walked(plant, ("clip", "left.moulding_cab_door", {"count": 2}))
    page = page_as("dmytro", "/rework")
    open_job(page, "Left moulding")

    why(page, "wait", "Tomorrow", "new clips")
    job = job_of(plant, unit)
    assert job["waiting_what"] == "new clips"
    assert job["waiting_until"] > job["planned_at"]
    expect(page.locator(".bench-fold")).to_contain_text("Waiting for a part or material")
    expect(page.locator("[data-act=take]")).to_have_count(0)

    page.locator("[data-act=come]").tap()
    expect(page.locator("[data-act=come]")).to_have_count(0)
    sent(page)
    assert job_of(plant, unit)["waiting_what"] is None
    expect(page.locator("[data-act=take], [data-act=read]")).to_have_count(1)


def test_the_origin_is_confirmed_in_one_tap_and_a_marker_lost_or_called_no_flaw_leaves_the_job(plant, page_as):
    unit, (marker, second, _) = walked(plant, NIB, NIB, NIB)
    page = page_as("per", "/rework")
    finger = open_job(page, "Left sliding door")
    expect(page.locator("[data-part=origin]")).to_contain_text("only assumed")

    finger.tap(page.locator("[data-act=origin][data-assumed]").first)

    expect(page.locator("[data-part=origin]")).to_contain_text("judged")
    sent(page)
    row = plant.row("markers", marker)
    assert (row["origin"], row["origin_basis"]) == ("paint", "judged")

    why(page, "lost", "No wax and no dot left")

    expect(page.locator("[data-part=marks] .tag")).to_have_text(["B2", "B3"])
    assert [question["text"] for question in plant.rows("questions", unit)] == [
        "B1 cannot be found: No wax and no dot left"
    ]

    why(page, "noflaw", "A reflection")

    expect(page.locator("[data-part=marks] .tag")).to_have_text(["B3"])
    assert plant.row("markers", second)["no_flaw"] == "A reflection"


def test_a_refusal_stands_beside_its_job_with_the_reason(plant, page_as):
    unit, _ = walked(plant, NIB)
    plant.per.take(unit, job_of(plant, unit))
    page = page_as("per", f"/rework/{job_of(plant, unit, 'taken')['id']}")
    finger = Finger(page)
    expect(page.locator("[data-act=done]")).to_be_visible()
    page.context.set_offline(True)
    done(page, finger, 9)
    expect(page.locator("[data-part=says]")).to_contain_text("not sent yet")
    plant.maud.do(
        unit, "job_rerouted", {"job": job_of(plant, unit, "taken")["id"], "department": "body", "reason": "Not theirs"}
    )

    page.context.set_offline(False)

    expect(page.locator("[data-part=says] [data-tone=wrong]").first).to_contain_text(
        "This work arrived for a job that was not taken.", timeout=30_000
    )
    page.locator("[data-act=dismiss]").tap()
    expect(page.locator("[data-act=dismiss]")).to_have_count(0)
