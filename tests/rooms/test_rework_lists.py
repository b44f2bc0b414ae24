"""The bench for eyes, gloves and keyboard, and while the server is stopped."""

import shutil
import signal
import socket
import subprocess
import sys

import pytest
from accessible import faults_everywhere
from playwright.sync_api import expect
from reworked_units import (
    NIB,
    READ,
    Finger,
    dented,
    done,
    sent,
    small_targets,
    take,
    walked,
)

from sample_units.chromium import SIZES

pytestmark = pytest.mark.browser


def test_two_jobs_on_one_part_stand_together_the_list_leads_back_and_ten_minutes_show_only_what_fits_in_them(
    plant, page_as
):
    walked(plant, NIB, ("run", "left.front_wing", {"size": 90}), ("run", "left.sliding_door_lower", {"size": 100}))
    page = page_as("per", "/rework", size="phone")
    expect(page.locator(".job-line .line-title")).to_have_text(["Left sliding door", "Left sliding door", "Left wing"])

    page.locator(".job-line").first.tap()
    expect(page.locator(".bench-list")).to_be_hidden()
    page.go_back()
    expect(page.locator(".bench-list")).to_be_visible()

    page.set_viewport_size(dict(zip(("width", "height"), SIZES["wide"], strict=True)))
    expect(page.locator(".job-line")).to_have_count(3)
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


def test_the_bench_is_worked_by_keyboard_alone_is_clean_to_axe_and_big_enough_for_gloves(plant, page_as):
    walked(plant, NIB, NIB)
    page = page_as("per", "/rework")
    line = page.locator(".job-line").first
    line.focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-act=take]")).to_have_text(READ)
    assert faults_everywhere(page, lambda: small_targets(page, "main")) == []

    page.locator("[data-act=take]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-act=done]")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("dialog")).to_be_visible()
    assert faults_everywhere(page, lambda: small_targets(page, "dialog")) == []


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


@pytest.fixture
def frozen(tmp_path, pin_hash):
    """A server of its own in another process, which can be stopped as if the machine hung."""
    from inspect_app.journal import Journal
    from tests.conftest import Plant

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
