"""Nothing that the browser's own modules say has bypassed the catalogue: every screen of work at the van, by touch."""

from __future__ import annotations

import pytest
from PIL import Image
from playwright.sync_api import expect

from inspect_app import create_app
from tests.conftest import PIN
from tests.lent import EMPTY
from tests.rooms import reworked_units as bench
from tests.rooms import signed_units as done
from tests.rooms.walking import Tablet, eventually
from tests.words import pseudo
from tests.words.screens import FORMATS, Screens, bypassed, in_odd_words

pytestmark = pytest.mark.browser

DOOR = "left.sliding_door_lower"


@pytest.fixture
def app(tmp_path):
    """The application on a plant that speaks the language nobody speaks."""
    pseudo.write(tmp_path / "data" / "words")
    made = create_app(tmp_path / "data", TESTING=False)
    for name, value in (("language", pseudo.KEY), ("formats", FORMATS)):
        made.extensions["lampwalk"].journal.record_server("plant", "setting_changed", {"name": name, "value": value})
    yield made
    made.extensions["lampwalk"].close()


@pytest.fixture
def journal(app):
    """The journal under it."""
    return app.extensions["lampwalk"].journal


@pytest.fixture
def screens(page_as, served, journal):
    """Opens a page for one of the cast, in the language nobody speaks."""

    def opened(who: str, path: str, **how: str) -> Screens:
        page = page_as(who, EMPTY, **how)
        in_odd_words(page, served)
        page.goto(path)
        return Screens(page, journal)

    return opened


def floor_as_kept(screens, who):
    """The floor as a tablet keeps it, looked at."""
    here = screens(who, "/")
    here.page.evaluate("async () => (await import('/client/keeping.js')).keepNow()")
    here.page.goto(f"/shell/floor?language={pseudo.KEY}&formats={FORMATS}")
    expect(here.page.locator("[data-groups] .line").first).to_be_visible()
    here.look("floor as kept")
    return here


def test_a_bare_word_a_half_sentence_and_an_untranslated_value_are_found():
    texts = ["⟦Śíĝń⟧", "Sign out", "⟦Śíĝń⟧ by Ines Okafor", "⟦ḿáŕḱ ńíb dirt nib⟧", "B1", "⟦ÁĹĹ⟧ S1", "Ines Okafor"]

    assert bypassed(texts, ["Ines Okafor"]) == sorted(["Sign out", "⟦Śíĝń⟧ by Ines Okafor", "⟦ḿáŕḱ ńíb dirt nib⟧"])


def test_the_floor_the_keypad_this_tablet_the_list_of_what_is_sent_and_a_word_that_a_module_writes_itself(
    screens, plant
):
    plant.unit("047312")
    plant.unit("048999", colour_hex="#123456")
    here = screens("maud", "/")
    here.look("floor")
    here.tap("[data-find-unit]", "keypad")
    for typed in ("047312", "99999", "04"):
        here.page.locator("dialog input").fill(typed)
        here.page.wait_for_timeout(600)
        here.look(f"found {typed}")
    here.shut()
    here.tap(".more > summary", "menu")
    here.tap("[data-this-tablet]", "this tablet")
    here.shut()
    here.tap("[data-sent-button]", "sent")
    here.shut()
    here.tap(".more > summary")
    here.tap("[data-change-person]", "who goes on")

    assert here.found == {}
    assert here.says(pseudo.said("All sent"))

    here.page.goto("/")
    here.page.evaluate("() => { document.getElementById('status').textContent = 'Bare words'; }")
    here.look("bare")
    assert here.found == {"bare": ["Bare words"]}


def test_a_walk_from_its_purpose_over_a_photo_that_is_drawn_on_to_the_looks_that_are_missing_and_its_end(
    screens, plant, tmp_path
):
    unit = plant.unit()
    here = screens("ines", f"/walk/{unit}")
    expect(here.page.locator("[data-purpose=first]")).to_be_visible()
    here.look("purpose")
    tablet = Tablet(here.page).begin().view("left")
    here.look("walk")
    tablet.touch(DOOR)
    here.look("dock")
    here.tap(".kind-more", "more kinds")
    here.shut()
    tablet.tap("#dock [data-kind=nib]")
    expect(here.page.locator("#kept .tag")).to_be_visible()
    here.look("kept")
    for size in (5, 15):
        here.tap(f"#kept [data-key='size-{size}']")
        bench.sent(here.page)
        here.look(f"size {size}")
    here.tap("#kept [data-key=note]", "note")
    picture = tmp_path / "nib.jpg"
    Image.new("RGB", (900, 600), "#5d7183").save(picture)
    with here.page.expect_file_chooser() as camera:
        here.tap("#kept [data-key=photo]")
    camera.value.set_files(picture)
    eventually(here.page, lambda: [row["state"] for row in plant.rows("photos", unit)] == ["stored"])
    here.look("photo kept")
    here.tap("#kept [data-key=more]", "details")
    here.tap("#drawer .shot-open", "large")
    here.tap("[data-form=ring]", "a ring")
    here.page.locator(".shot-pad").focus()
    for key in ("Enter", "ArrowRight", "ArrowRight", "ArrowDown", "ArrowDown", "Enter"):
        here.page.keyboard.press(key)
    here.look("drawn")
    here.shut()
    here.page.locator("#exact-size").fill("x")
    here.tap("[data-key=set-exact]", "no number")
    here.tap("#drawer [data-key=withdraw]", "withdrawn without a word")
    here.tap("#drawer [data-key=kind]", "another kind")
    here.shut()
    here.tap("#drawer [data-key=concede]", "concession")
    here.tap("dialog .btn-main", "concession without a word")
    here.shut()
    here.tap("#drawer [data-key=close]")
    here.tap("#tool-list", "markers")
    here.tap("[data-key=tab-zones]", "zones")
    here.tap("#drawer [data-zone='left.storage_door']", "zone")
    here.tap("#drawer [data-key=off]", "off the van")
    here.tap("[data-key=close]")
    here.tap("#go", "looked")
    tablet.view("openings")
    here.look("listed")
    here.tap("#walk-more summary", "menu")
    here.tap("[data-more=finish]", "missing")

    other = plant.unit()
    looked = plant.ines.start_walk(other)
    plant.ines.mark(other, looked, "nib", DOOR, "B1", size=8)
    plant.ines.look_everywhere(other, looked)
    here.page.goto(f"/walk/{other}")
    expect(here.page.locator("#foot")).to_be_visible()
    here.tap("#walk-more summary")
    here.tap("[data-more=finish]", "finish")

    assert here.found == {}
    assert here.says(pseudo.said("dirt nib"))


def test_the_floor_as_a_technicians_tablet_keeps_it_and_a_department_works_its_jobs_off(screens, plant):
    unit, _ = bench.walked(plant, bench.NIB, bench.SWIRL)
    bench.dented(plant)
    plant.maud.do(unit, "zones_absent", {"zones": ["left.storage_door"], "why": "off"})
    bench.reworked(plant, bench.SWIRL)
    plant.unit("047999")
    here = floor_as_kept(screens, "per")
    here.page.goto("/rework")
    expect(here.page.locator(".job-line").first).to_be_visible()
    here.look("list")
    here.tap("[data-act=fits][data-minutes='10']", "what fits")
    here.tap("[data-act=fits][data-minutes='']")
    here.tap("[data-list] > .lines .job-line", "job")
    for act in ("lost", "noflaw", "reroute", "step", "wait"):
        if here.page.locator(f"[data-act={act}]").count():
            here.tap(f"[data-act={act}]", act)
            here.tap("dialog .dialog-foot .btn", f"{act} without a word")
            here.shut()
    bench.read(here.page)
    here.look("cautions read")
    here.tap("[data-act=take]")
    expect(here.page.locator("[data-act=done]")).to_be_visible()
    here.look("taken")
    here.tap("[data-act=handback]", "hand back")
    here.shut()
    here.tap("[data-act=done]", "my step is done")
    here.tap("dialog .dialog-foot .btn-main", "without minutes")
    here.page.locator("dialog [data-value='9']").first.tap()
    if here.page.locator("#film-off").count():
        here.page.locator("#film-off").fill("900")
        here.tap("dialog .dialog-foot .btn-main", "too much film")
        here.page.locator("#film-off").fill("3,4")
    here.tap("dialog .dialog-foot .btn-main")
    expect(here.page.locator("dialog")).to_have_count(0)
    here.look("done")
    bench.sent(here.page)
    here.look("sent")

    assert here.found == {}


def test_a_second_look_decides_sends_back_and_answers_questions_and_proposals(screens, plant):
    unit, _ = bench.reworked(plant, bench.SWIRL, bench.NIB)
    here = screens("lukasz", f"/again/{unit}")
    expect(here.page.locator("#pane-body > *").first).to_be_visible()
    here.look("left")
    here.tap("#pane .marker-line", "ring")
    here.tap("[data-act=sendback]", "send back")
    here.tap("dialog .dialog-foot .btn", "send back without a word")
    here.shut()
    here.tap("[data-act=concede]", "concession")
    here.shut()
    here.tap("[data-act=overview]", "overview")
    here.tap("#pane .marker-line:last-of-type")
    here.tap("[data-act=sendback]")
    here.tap("dialog .reasons button")
    here.look("sent back")
    here.tap("#pane [data-act=zone]", "zone")
    here.tap("#pane [data-act=look]", "looked")

    unit, (nib, swirl) = bench.walked(plant, bench.NIB, bench.SWIRL)
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": job_marker(plant, job), "reason": "047"})
    other = next(one for one in (nib, swirl) if one != job_marker(plant, job))
    plant.per.do(unit, "no_flaw_proposed", {"marker": other, "job": None, "reason": "0815"})
    here.page.goto(f"/again/{unit}")
    expect(here.page.locator("#pane-body > *").first).to_be_visible()
    here.look("asked")
    here.tap("[data-act=answer]", "answer")
    here.shut()
    here.tap("[data-act=decline]", "it is one")

    assert here.found == {}


def job_marker(plant, job):
    """The marker that the first job is for."""
    row = plant.row("jobs", job["id"])
    found = plant.journal.read().execute("SELECT marker FROM job_markers WHERE job = ?", (row["id"],)).fetchone()
    return found["marker"]


def test_the_sign_off_its_gates_and_its_pad(screens, plant):
    here = screens("ines", f"/sign-off/{done.ready(plant)}")
    expect(here.page.locator("#sign-why")).not_to_be_empty()
    here.look("gates")
    here.tap("[data-pad-type]")
    here.page.locator("#typed-name").fill("Ines Okafor")
    here.look("typed")
    for digit in PIN:
        here.tap(f'[data-key="{digit}"]')
    here.look("pin")
    here.page.locator("#van .ring .ring-tag").first.tap(force=True)
    here.look("a ring")

    blocked = plant.unit("047002")
    done.walked(plant, blocked, ("chip", "left.cab_door_lower", {"size": 12}))
    here.page.goto(f"/sign-off/{blocked}")
    expect(here.page.locator("#sign-why")).not_to_be_empty()
    here.look("blocked")

    assert here.found == {}


def test_the_floor_as_an_inspectors_tablet_keeps_it_away_waiting_and_signed_out(screens, plant):
    bench.walked(plant, bench.NIB, bench.SWIRL)
    bench.reworked(plant, bench.SWIRL)
    bench.dented(plant)
    unit = plant.unit("047999")
    here = floor_as_kept(screens, "ines")
    here.page.goto(f"/walk/{unit}")
    tablet = Tablet(here.page).begin().view("left")
    here.page.evaluate("async () => (await import('/client/keeping.js')).keepNow()")
    here.page.route("**/sync", lambda route: route.abort())
    tablet.mark(DOOR)
    here.look("not sent yet")
    here.tap("[data-sent-button]", "not sent")
    here.shut()
    here.page.unroute("**/sync")
    here.page.route(
        "**/sync", lambda route: route.fulfill(status=401, json={"error": {"code": "sign_in", "message": ""}})
    )
    here.page.evaluate("async () => (await import('/client/sync.js')).flush()")
    expect(here.page.locator("dialog[open]")).to_be_visible()
    here.look("sign in")
    here.page.locator("dialog [name=pin]").fill("1")
    here.tap("dialog .btn-main", "no PIN")

    assert here.found == {}
