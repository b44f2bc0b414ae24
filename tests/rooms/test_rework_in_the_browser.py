"""The bench by touch in a real browser: each department its own steps, cautions first, who is next afterwards."""

import re
import shutil
import signal
import socket
import subprocess
import sys

import pytest
from playwright.sync_api import expect
from reworked_units import (
    NIB,
    Finger,
    dented,
    faults,
    job_of,
    picture,
    sent,
    sideways,
    small_targets,
    walked,
)

pytestmark = pytest.mark.browser

READ = re.compile("I have read")


def open_job(page, words):
    """Choose a job from the list, with one tap."""
    finger = Finger(page)
    finger.tap(page.locator(".job-line", has_text=words).first)
    return finger


def read(page):
    """Bring the cautions that are out of sight into sight, one after the other."""
    expect(page.locator("[data-act=read], [data-act=take]")).to_have_count(1)
    while page.locator("[data-act=read]").count():
        page.locator("[data-act=read]").tap()
        page.wait_for_timeout(900)  # a card is read when it has stood in sight for a while


def take(page, finger):
    read(page)
    expect(page.locator("[data-act=take]")).to_have_text(READ)
    finger.tap("[data-act=take]")
    expect(page.locator("[data-act=done]")).to_be_visible()


def done(page, finger, minutes):
    finger.tap("[data-act=done]")
    finger.tap(page.locator(f"dialog [data-value='{minutes}']").first)
    finger.tap("dialog .dialog-foot .btn-main")
    expect(page.locator("dialog")).to_have_count(0)


def why(page, act, *taps):
    """Open a question, tap what it offers, and wait until it is kept."""
    page.locator(f"[data-act={act}]").first.tap()
    for words in taps:
        page.locator("dialog").get_by_role("button", name=words, exact=True).tap()
    expect(page.locator("dialog")).to_have_count(0)
    sent(page)


def test_a_department_sees_its_step_only_when_its_turn_has_come(plant, page_as):
    unit, _ = dented(plant)
    page = page_as("thanh", "/rework")
    expect(page.locator("[data-list]")).to_contain_text("Waiting for another department")
    expect(page.locator("[data-list] > .lines .job-line")).to_have_count(0)

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


def test_a_job_handed_back_is_free_again_with_the_reason_in_its_line(plant, page_as):
    unit, _ = walked(plant, NIB)
    page = page_as("per", "/rework")
    take(page, open_job(page, "Left sliding door"))

    why(page, "handback", "End of shift")

    expect(page.locator(".job-line .line-why")).to_contain_text("back: End of shift")
    assert job_of(plant, unit, "ready")["taken_by"] is None


def test_the_wrong_department_sends_the_job_to_the_right_one(plant, page_as):
    unit, _ = walked(plant, NIB)
    page = page_as("per", "/rework")
    open_job(page, "Left sliding door")

    why(page, "reroute", "Body", "The kind of defect is another one")

    assert job_of(plant, unit, "ready")["department"] == "body"


def test_a_step_added_comes_first_and_the_own_step_waits(plant, page_as):
    unit, _ = walked(plant, NIB)
    page = page_as("per", "/rework")
    take(page, open_job(page, "Left sliding door"))

    why(page, "step", "Paint", "Local colour, clear to the edge", "Broke through to primer")

    steps = sorted(plant.rows("jobs", unit), key=lambda job: job["step"])
    assert [(job["department"], job["method"], job["state"]) for job in steps] == [
        ("paint", "spot_repair", "ready"),
        ("polish", "denib_polish", "waiting"),
    ]
    expect(page.locator(".chain li").first).to_have_text("Paint", timeout=20_000)


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


def test_a_marker_that_cannot_be_found_leaves_the_job_and_asks_an_inspector(plant, page_as):
    unit, _ = walked(plant, NIB, NIB)
    page = page_as("per", "/rework")
    open_job(page, "Left sliding door")

    why(page, "lost", "No wax and no dot left")

    expect(page.locator("[data-part=marks] .tag")).to_have_text(["B2"])
    assert [question["text"] for question in plant.rows("questions", unit)] == [
        "B1 cannot be found: No wax and no dot left"
    ]


def test_no_flaw_is_proposed_and_the_marker_leaves_the_job(plant, page_as):
    _unit, (first, _) = walked(plant, NIB, NIB)
    page = page_as("per", "/rework")
    open_job(page, "Left sliding door")

    why(page, "noflaw", "A reflection")

    expect(page.locator("[data-part=marks] .tag")).to_have_text(["B2"])
    assert plant.row("markers", first)["no_flaw"] == "A reflection"


def test_the_department_of_origin_is_confirmed_in_one_tap(plant, page_as):
    _unit, (marker,) = walked(plant, NIB)
    page = page_as("per", "/rework")
    finger = open_job(page, "Left sliding door")
    expect(page.locator("[data-part=origin]")).to_contain_text("only assumed")

    finger.tap("[data-act=origin][data-assumed]")

    expect(page.locator("[data-part=origin]")).to_contain_text("judged")
    sent(page)
    row = plant.row("markers", marker)
    assert (row["origin"], row["origin_basis"]) == ("paint", "judged")


def test_ten_minutes_show_only_what_fits_in_them(plant, page_as):
    walked(plant, NIB, ("run", "left.front_wing", {"size": 100}))
    page = page_as("per", "/rework")
    expect(page.locator(".job-line")).to_have_count(2)

    page.locator("[data-act=fits][data-minutes='10']").tap()

    expect(page.locator(".job-line")).to_have_count(1)
    expect(page.locator(".job-line")).to_contain_text("Left sliding door")


def test_a_manager_sees_every_department_and_takes_nothing(plant, page_as):
    dented(plant)
    walked(plant, NIB)
    page = page_as("maud", "/rework")
    expect(page.locator("[data-list] > .lines .job-line")).to_have_count(2)

    page.locator(".job-line", has_text="Left sliding door").tap()
    expect(page.locator("[data-part=says]")).to_contain_text("done by polish and clean")
    expect(page.locator("[data-act=take], [data-act=read], [data-act=done]")).to_have_count(0)
    page.locator("select").select_option("body")

    expect(page.locator("[data-list] > .lines .job-line")).to_have_count(1)


def test_a_refusal_stands_beside_its_job_with_the_reason(plant, page_as):
    unit, _ = walked(plant, NIB)
    page = page_as("per", "/rework")
    finger = open_job(page, "Left sliding door")
    take(page, finger)
    sent(page)
    page.context.set_offline(True)
    done(page, finger, 9)
    expect(page.locator("[data-part=says]")).to_contain_text("not sent yet")
    plant.ines.do(
        unit, "job_rerouted", {"job": job_of(plant, unit, "taken")["id"], "department": "body", "reason": "Not theirs"}
    )

    page.context.set_offline(False)

    expect(page.locator("[data-part=says] [data-tone=wrong]").first).to_contain_text(
        "This work arrived for a job that was not taken.", timeout=30_000
    )
    page.locator("[data-act=dismiss]").tap()
    expect(page.locator("[data-act=dismiss]")).to_have_count(0)


def test_two_jobs_on_one_part_stand_together_and_the_list_leads_back(plant, page_as):
    walked(plant, NIB, ("run", "left.front_wing", {"size": 90}), ("run", "left.sliding_door_lower", {"size": 100}))
    page = page_as("per", "/rework", size="phone")
    expect(page.locator(".job-line .line-title")).to_have_text(["Left sliding door", "Left sliding door", "Left wing"])

    page.locator(".job-line").first.tap()
    expect(page.locator(".bench-list")).to_be_hidden()
    page.go_back()

    expect(page.locator(".bench-list")).to_be_visible()


@pytest.mark.parametrize("theme", ["lamp", "day"])
@pytest.mark.parametrize("size", ["wide", "tall", "phone"])
def test_the_bench_is_clean_to_axe_and_big_enough_for_gloves(plant, page_as, size, theme):
    _unit, _ = walked(plant, NIB, NIB)
    page = page_as("per", "/rework", size=size, theme=theme)
    finger = open_job(page, "Left sliding door")
    assert faults(page) == ""
    assert small_targets(page, "main") == []
    assert sideways(page) == 0

    take(page, finger)
    page.locator("[data-act=done]").tap()
    assert faults(page) == ""
    assert small_targets(page, "dialog") == []


def test_the_bench_is_worked_by_keyboard_alone(plant, page_as):
    _unit, _ = walked(plant, NIB)
    page = page_as("per", "/rework")
    line = page.locator(".job-line").first
    line.focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-act=take]")).to_have_text(READ)
    page.locator("[data-act=take]").focus()
    page.keyboard.press("Enter")

    expect(page.locator("[data-act=done]")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("dialog")).to_be_visible()


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


@pytest.fixture
def frozen(tmp_path, pin_hash):
    """A server of its own in another process, which can be stopped as if the machine hung."""
    from conftest import Plant

    from inspect_app.journal import Journal

    with Journal(tmp_path / "data") as journal:
        plant = Plant(journal, pin_hash)
        walked(plant, NIB)
        people = plant.people
    port = free_port()
    command = [sys.executable, "-m", "inspect_app", "serve", "--data", str(tmp_path / "data"), "--port", str(port)]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    assert "serves" in server.stdout.readline()
    yield server, f"http://127.0.0.1:{port}", people, tmp_path / "data"
    server.send_signal(signal.SIGCONT)
    server.terminate()
    server.wait(20)
    server.stdout.close()


@pytest.mark.skipif(shutil.which("kill") is None, reason="needs signals")
def test_a_job_is_taken_and_done_while_the_server_is_stopped_and_sent_when_it_runs_again(chromium, frozen):
    server, address, people, _ = frozen
    context = chromium.new_context(base_url=address, has_touch=True, viewport={"width": 1180, "height": 820})
    headers = {"X-Lampwalk": "1", "Origin": address}
    context.request.post("/sign-in", data={"person": people["per"], "pin": "2580"}, headers=headers)
    page = context.new_page()
    page.goto("/rework")
    expect(page.locator("[data-act=take]")).to_have_text(READ)
    sent(page)

    server.send_signal(signal.SIGSTOP)
    finger = Finger(page)
    take(page, finger)
    done(page, finger, 9)
    expect(page.locator("[data-part=says]")).to_contain_text("Kept on this tablet, not sent yet")
    expect(page.locator("[data-sent]")).to_have_text("2 not sent yet")
    server.send_signal(signal.SIGCONT)

    expect(page.locator("[data-sent]")).to_have_text("All sent", timeout=60_000)
    expect(page.locator("[data-part=says]")).not_to_contain_text("not sent yet", timeout=20_000)
    expect(page.locator("[data-part=says]")).to_contain_text("now waits for its second look")
    context.close()
