"""Units in rework for the tests of the bench and of the second look, and a finger that counts its taps."""

from __future__ import annotations

import io
import re

from PIL import Image
from playwright.sync_api import Locator, Page, expect


def walked(plant, *marks, unit=None):
    """A unit walked by Ines with these (kind, zone, more), her walk finished. Returns the unit and its markers."""
    unit = unit or plant.unit()
    walk = plant.ines.start_walk(unit)
    markers = [
        plant.ines.mark(unit, walk, kind, zone, f"B{number}", **more)
        for number, (kind, zone, more) in enumerate(marks, start=1)
    ]
    assert plant.ines.finish_walk(unit, walk).outcome == "applied"
    return unit, markers


def dented(plant):
    """A dent with broken paint: body first, then paint, then polish."""
    unit, walk = plant.unit(), None
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "dent", "right.cab_door_lower", "B1", size=120)
    plant.ines.do(unit, "marker_amended", {"marker": marker, "method": "dent_refinish"})
    plant.ines.finish_walk(unit, walk)
    return unit, marker


def reworked(plant, *marks):
    """A walked unit whose jobs are all done by whoever may do them."""
    unit, markers = walked(plant, *marks)
    for _ in range(4):
        for hands in (plant.per, plant.zaneta, plant.dmytro):
            for job in hands.jobs(unit):
                assert hands.work(unit, job).outcome == "applied"
    return unit, markers


SWIRL = ("swirl", "left.cab_door_lower", {"size": 300})  # polished by machine: nothing to wait for
NIB = ("nib", "left.sliding_door_lower", {"size": 15})  # cut and polished: an hour to wait


def job_of(plant, unit, state="ready"):
    """The one job of a unit in a state."""
    (job,) = (job for job in plant.rows("jobs", unit) if job["state"] == state)
    return job


class Finger:
    """Taps, and counts them."""

    def __init__(self, page: Page):
        self.page = page
        self.taps = 0

    def tap(self, target: str | Locator) -> None:
        """Tap one thing."""
        found = self.page.locator(target) if isinstance(target, str) else target
        found.tap()
        self.taps += 1


READ = re.compile("I have read")
UNSENT = """async () => (await (await import('/client/outbox.js')).waiting()).length
  + (await (await import('/client/photos_out.js')).photosWaiting()).length"""


def sent(page: Page) -> None:
    """Wait until everything kept on this tablet has been answered by the server."""
    for _ in range(1200):
        if page.evaluate(UNSENT) == 0:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{page.evaluate(UNSENT)} were never sent")


def in_reach(page: Page) -> None:
    """Let the server be reached again whose /sync was cut off, and let the tablet notice at once: it waits longer with each try in vain."""
    page.unroute("**/sync")
    page.evaluate("() => void dispatchEvent(new Event('online'))")


def small_targets(page: Page, inside: str) -> list[str]:
    """Buttons, links and fields below 48 px in height or width, by their words."""
    return page.evaluate(
        """(inside) => [...document.querySelectorAll(`${inside} :is(button, a, select, summary, textarea)`)]
          .filter((one) => one.checkVisibility() && !one.closest('.strip, .unseen'))
          .map((one) => [one.textContent.trim().slice(0, 30), one.getBoundingClientRect()])
          .filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
          .map(([words, box]) => `${words} ${Math.round(box.width)}x${Math.round(box.height)}`)""",
        inside,
    )


def sideways(page: Page) -> int:
    """How many px the page can be pushed sideways."""
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def picture() -> bytes:
    """A small photo, as a camera might give it."""
    into = io.BytesIO()
    Image.new("RGB", (320, 240), (60, 80, 90)).save(into, "JPEG")
    return into.getvalue()


def open_job(page, words):
    """Choose a job from the list, with one tap."""
    finger = Finger(page)
    finger.tap(page.locator(".job-line", has_text=words).first)
    return finger


def read(page):
    """Bring the cautions that are out of sight into sight, one after the other."""
    expect(page.locator("[data-act=read], [data-act=take]")).to_have_count(1)
    while page.locator("[data-act=read]").count():
        # A card is read when it has stood in sight for a while, so the button may be gone just before it is pressed.
        page.evaluate("() => document.querySelector('[data-act=read]')?.click()")
        page.wait_for_timeout(900)


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


def open_unit(page_as, unit, who="lukasz", **how):
    page = page_as(who, f"/again/{unit}", **how)
    expect(page.locator("#begin")).to_be_hidden()
    expect(page.locator("#pane-body > *").first).to_be_visible()
    return page


def ring(page, tag):
    page.locator("#pane .marker-line", has_text=tag).tap()
    expect(page.locator("#pane h2 .tag")).to_have_text(tag)
