"""The rack and its pages: parts come off, wear labels, go through their stages, and a part of another van is stopped."""

from __future__ import annotations

from io import BytesIO

import pytest
from desk import Desk, fault_beside, said
from playwright.sync_api import expect
from pypdf import PdfReader

from inspect_app.trade import rules
from sample_units.hands import new_id

STRIP, NEXT = "moulding_cab_door_left", "moulding_sliding_door_left"
PLASTIC = ("washed", "flamed", "prepped", "primed")
HOUR = 3_600_000


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


@pytest.fixture
def off(plant):
    """Take a part off a unit by hand and return its id."""

    def take(unit: str, of: str = STRIP) -> str:
        part = new_id()
        plant.dmytro.online(unit, "part_off", {"part": part, "of": of})
        return part

    return take


def stage(desk, part: str, since: str, six: str = "047312", **more):
    """Send the form of a part's next stage; `stage` among `more` is the one that the page named."""
    return desk.send(f"/parts/{part}/stage", page=f"/parts/{part}", since=since, six=six, **more)


def test_a_set_comes_off_in_one_go_and_stands_on_the_rack_with_what_is_next(plant, desk):
    unit, per = plant.unit(), desk("per")
    answer = per.send(
        f"/units/{unit}/parts", page=f"/units/{unit}/parts", parts=[STRIP, NEXT], material="", place="Rack 2, hook 4"
    )

    assert (answer.status_code, answer.location) == (302, f"/units/{unit}/parts")
    rack = per.words("/parts")
    assert "047 312" in rack
    assert "2 parts off" in rack
    assert "Left moulding cab door Off the van next: washed Rack 2, hook 4" in rack
    gate = desk("ines").get(f"/sign-off/{unit}").text.partition('id="gate-parts"')[2].partition('class="gate"')[0]
    assert "Left moulding cab door is off the van" in gate
    assert f'href="/units/{unit}/parts"' in gate
    assert "data-confirm" not in gate  # the rack answers now, nobody's word
    assert f'href="/units/{unit}/parts"' in per.get(f"/units/{unit}").text


def test_nothing_ticked_takes_nothing_off_and_says_so(plant, desk):
    unit, per = plant.unit(), desk("per")
    answer = per.send(f"/units/{unit}/parts", page=f"/units/{unit}/parts", material="", place="")

    assert answer.status_code == 422
    assert "Tick the parts that come off." in answer.text
    assert plant.rows("parts", unit) == []


def test_a_form_of_parts_sent_twice_takes_each_off_once(plant, desk):
    unit, per = plant.unit(), desk("per")
    told = {"page": f"/units/{unit}/parts", "parts": [STRIP, "no_such_part"], "material": "", "place": ""}
    per.send(f"/units/{unit}/parts", **told)
    again = per.send(f"/units/{unit}/parts", **told)

    assert again.status_code == 409
    assert "it is off this van already" in again.text
    assert "has no part &#39;no_such_part&#39;" in again.text
    assert len(plant.rows("parts", unit)) == 1


def test_a_part_goes_through_its_stages_by_its_label_and_is_refitted(plant, desk, off, monkeypatch):
    unit, per = plant.unit(), desk("per")
    part, since = off(unit), "off"
    for wanted in PLASTIC:
        assert stage(per, part, since).location == f"/parts/{part}"
        since = wanted
    page = per.words(f"/parts/{part}")
    assert "Next: painted" in page
    assert "The primer flashes off; free" in page
    early = stage(per, part, "primed", booth="Booth 1", mix="FG-1")
    assert "Not yet: the primer flashes off" in said(early)

    now = plant.journal.clock()
    monkeypatch.setattr(plant.journal, "clock", lambda: now + HOUR)
    unpainted = stage(per, part, "primed", booth="", mix="")
    assert fault_beside(unpainted, "booth") == "'Booth' is missing; write its name or number."
    stage(per, part, "primed", booth="Booth 1", mix="FG-1", sprayer=plant.people["per"])
    monkeypatch.setattr(plant.journal, "clock", lambda: now + 12 * HOUR)  # a shift is no longer than a day
    assert "The paint hardens; free" in per.words(f"/parts/{part}")

    assert plant.row("parts", part)["state"] == "painted"
    assert [plant.rows("painted", unit)[0][name] for name in ("part", "booth", "sprayer", "mix")] == [
        STRIP,
        "Booth 1",
        plant.people["per"],
        "FG-1",
    ]


def test_a_part_of_another_van_is_stopped_in_large_letters_naming_both_and_counted(plant, desk, off):
    unit, per = plant.unit("047312"), desk("per")
    plant.unit("118940", colour="Tern white")
    part = off(unit)
    answer = stage(per, part, "off", six="118 940")

    assert answer.status_code == 409
    text = answer.text
    assert '<section class="stop" role="alert"><h2>Stop: another van&#39;s part</h2>' in text
    assert "118\N{NO-BREAK SPACE}940, Brennach Tourer 6 in Tern white" in text
    assert "047\N{NO-BREAK SPACE}312, Brennach Tourer 6 in Fjord grey" in text
    assert plant.row("parts", part)["stage"] == "off"
    assert len(plant.rows("mixups", unit)) == 1
    assert "1 mix-up stopped at parts of this van." in per.words(f"/units/{unit}/parts")
    assert "Per Halvorsen was stopped: the part in hand wore 118940" in per.words(f"/units/{unit}/history?show=parts")
    stage(per, part, "off")
    assert "1 mix-up was stopped. 1 label was read and right." in desk("maud").words("/rates")


@pytest.mark.parametrize("six", ["", "04731", "999999"])
def test_six_that_are_none_or_no_vans_are_said_beside_the_field_and_are_no_mix_up(plant, desk, off, six):
    unit, per = plant.unit(), desk("per")
    part = off(unit)
    answer = stage(per, part, "off", six=six)

    assert answer.status_code in (409, 422)
    assert fault_beside(answer, "six")
    assert plant.rows("mixups", unit) == []
    assert plant.row("parts", part)["stage"] == "off"


def test_two_vans_of_the_same_six_are_told_apart_by_colour_and_full_number(plant, desk, off):
    unit, twin = plant.unit("047312"), plant.unit("047312", colour="Tern white")
    per, part = desk("per"), off(unit)
    page = per.get(f"/parts/{part}").text
    for key in (unit, twin):
        row = plant.row("units", key)
        assert f"{row['colour']} · {row['chassis']}" in page

    assert "say by colour and full number" in fault_beside(stage(per, part, "off"), "van")
    assert 'class="stop"' in stage(per, part, "off", van=twin).text
    assert stage(per, part, "off", van=unit).status_code == 302


def test_the_code_of_a_label_is_taken_for_its_six_and_a_strange_code_is_not(plant, desk, off):
    unit, per = plant.unit(), desk("per")
    part, beside = off(unit), off(unit, NEXT)
    strange = stage(per, part, "off", six="", label="https://example.org/x")
    assert "This code is no label of a part" in fault_beside(strange, "six")
    other = stage(per, part, "off", six="", label=f"URN:UUID:{beside.upper()}")
    assert "the label of another part of the same van: left moulding sliding door" in fault_beside(other, "six")

    assert stage(per, part, "off", six="", label=f"URN:UUID:{part.upper()}").status_code == 302


def test_a_part_whose_flame_has_faded_is_to_be_flamed_again_and_nothing_else(plant, desk, off, monkeypatch):
    part, per = off(plant.unit()), desk("per")
    stage(per, part, "off")
    stage(per, part, "washed")
    now = plant.journal.clock()
    monkeypatch.setattr(plant.journal, "clock", lambda: now + 3 * HOUR)
    page = per.words(f"/parts/{part}")
    assert "Next: flame-treated" in page
    assert "The flame's effect has faded: it has to be flame-treated again." in page
    assert '<li aria-current="step">flame-treated</li>' in per.get(f"/parts/{part}").text  # not struck through as done
    stage(per, part, "flamed", stage="prepped")
    assert plant.row("parts", part)["stage"] == "flamed"
    stage(per, part, "flamed", stage="flamed")

    assert "Next: prepped" in per.words(f"/parts/{part}")


def test_while_a_wait_runs_the_button_waits_too(plant, desk, off):
    part, per = off(plant.unit()), desk("per")
    since = "off"
    for wanted in PLASTIC:
        stage(per, part, since)
        since = wanted

    assert '<button class="btn btn-main btn-large" disabled>Painted</button>' in per.get(f"/parts/{part}").text


def test_a_page_that_has_grown_old_moves_nothing(plant, desk, off):
    part, per = off(plant.unit()), desk("per")
    stage(per, part, "off")
    answer = stage(per, part, "off")

    assert answer.location == f"/parts/{part}"
    assert "This part is washed by now" in per.words(f"/parts/{part}")
    assert plant.row("parts", part)["stage"] == "washed"


def test_an_earlier_stage_is_done_again(plant, desk, off):
    unit, per = plant.unit(), desk("per")
    part = off(unit)
    stage(per, part, "off")
    stage(per, part, "washed")
    told = {"again-since": "flamed", "again-six": "047312"}
    none = per.send(f"/parts/{part}/again", page=f"/parts/{part}", **told)
    assert fault_beside(none, "again-stage") == "Choose the stage that is done again."
    per.send(f"/parts/{part}/again", page=f"/parts/{part}", **told, **{"again-stage": "washed"})

    assert plant.row("parts", part)["stage"] == "washed"


def test_clips_are_counted_and_added_up_for_the_van(plant, desk, off):
    unit, per = plant.unit(), desk("per")
    for part, told in ((off(unit), (9, 2, 2)), (off(unit, NEXT), (11, 1, 3))):
        body = dict(zip(("out", "broken", "replaced"), told, strict=True))
        assert per.send(f"/parts/{part}/clips", page=f"/parts/{part}", **body).status_code == 302

    assert "Came off 20 Broke 3 New ones 5 They cost 20.00" in per.words(f"/units/{unit}/parts")


def test_the_page_says_how_long_a_set_takes_from_off_to_refitted(plant, desk, off):
    # 240 minutes and 40 a piece and a booth visit of 60; ten to fifteen hours a set are common practice, no source.
    unit = plant.unit()
    strips = [f"moulding_{of}" for of in ("cab_door", "sliding_door", "rear_panel", "rear_corner")]
    for of in (*strips, "rear_arch_trim"):
        for side in ("left", "right"):
            off(unit, f"{of}_{side}")
    page = desk("per").words(f"/units/{unit}/parts")
    assert "10 plastic parts off now, done as one set: 11 h 40 min of work from off to refitted." in page


@pytest.mark.parametrize(
    ("told", "beside", "why"),
    [
        ({"out": "", "broken": "0", "replaced": "0"}, "out", "'Came off' is missing"),
        ({"out": "nine", "broken": "0", "replaced": "0"}, "out", "whole number"),
        ({"out": "9,5", "broken": "0", "replaced": "0"}, "out", "whole number from 0 to 500"),
        ({"out": "-1", "broken": "0", "replaced": "0"}, "out", "whole number from 0 to 500"),
        ({"out": "2", "broken": "3", "replaced": "0"}, "broken", "cannot have broken"),
    ],
)
def test_clips_that_cannot_be_are_said_beside_the_field(plant, desk, off, told, beside, why):
    unit, per = plant.unit(), desk("per")
    part = off(unit)
    answer = per.send(f"/parts/{part}/clips", page=f"/parts/{part}", **told)

    assert answer.status_code in (409, 422)
    assert why in fault_beside(answer, beside)
    assert plant.row("parts", part)["clips_out"] == 0
    assert 'type="number"' not in answer.text  # which drops the comma of "9,5" (seen in Chromium): 95 were kept


def test_an_untouched_part_is_put_back_with_a_reason(plant, desk, off):
    unit, per = plant.unit(), desk("per")
    part = off(unit)
    silent = per.send(f"/parts/{part}/back", page=f"/parts/{part}", **{"back-reason": " "})
    assert "A reason is missing" in fault_beside(silent, "back-reason")
    per.send(f"/parts/{part}/back", page=f"/parts/{part}", **{"back-reason": "The wrong van stood in the bay."})

    assert plant.row("parts", part)["state"] == "put_back"
    assert "put back untouched" in per.words(f"/parts/{part}").lower()


def test_the_cautions_of_a_stage_stand_before_its_button_with_the_clause(plant, desk, off):
    part, per = off(plant.unit()), desk("per")
    stage(per, part, "off")
    page = per.get(f"/parts/{part}").text

    assert (
        page.index("Flame treatment is hot work")
        < page.index("safety data sheet")
        < page.index(">Flame-treated</button>")
    )


def test_the_labels_of_what_is_off_are_printed_and_none_where_nothing_is(plant, desk, off):
    unit, per = plant.unit(), desk("per")
    assert per.get(f"/units/{unit}/parts/labels.pdf").status_code == 404
    off(unit)
    only = off(unit, NEXT)
    whole = PdfReader(BytesIO(per.get(f"/units/{unit}/parts/labels.pdf").data)).pages[0].extract_text()
    one = PdfReader(BytesIO(per.get(f"/units/{unit}/parts/labels.pdf?part={only}").data)).pages[0].extract_text()

    assert (
        "Left moulding cab door" in whole,
        "Left moulding cab door" in one,
        "Left moulding sliding door" in one,
    ) == (True, False, True)


def test_a_label_is_found_at_the_rack_by_its_six_or_its_code(plant, desk, off):
    unit, other, per = plant.unit("047312"), plant.unit("118940"), desk("per")
    part = off(unit)
    off(other)

    assert "118 940" not in per.words("/parts?read=047312")
    assert per.get(f"/parts?read=URN:UUID:{part.upper()}").location == f"/parts/{part}"
    none = per.get("/parts?read=999999")
    assert (none.status_code, "No part of a van that ends in 999999 is off" in none.text) == (404, True)


def test_a_signed_vans_parts_are_shown_and_not_moved(plant, desk, off):
    unit = plant.unit()
    part = off(unit)
    plant.dmytro.online(unit, "part_put_back", {"part": part, "reason": "The wrong van."})

    assert "/stage" not in desk("per").get(f"/parts/{part}").text


def test_a_refit_of_an_unpainted_part_and_a_strange_count_are_said_and_break_nothing(plant, desk, off):
    unit, per = plant.unit(), desk("per")
    part = off(unit)
    early = per.send(f"/parts/{part}/refit", page=f"/parts/{part}", six="047312")
    typed = per.send(f"/parts/{part}/refit", page=f"/parts/{part}", six="0" * 50)
    many = per.send(f"/parts/{part}/clips", page=f"/parts/{part}", out="9" * 400, broken="0", replaced="0")

    assert "Only a painted part is refitted, and once" in said(early)
    assert "A label has six characters here" in said(typed)
    assert "whole number from 0 to 500" in fault_beside(many, "out")
    assert plant.row("parts", part)["state"] == "off"


def test_a_part_that_is_not_there_is_said(desk):
    assert desk("per").get(f"/parts/{new_id()}").status_code == 404


@pytest.mark.parametrize(("typed", "kept"), [("5.25", "525"), ("5,2", "520"), ("7", "700")])
def test_a_manager_says_what_a_new_clip_costs(plant, desk, typed, kept):
    maud = desk("maud")
    whole = {"plant": "Halden yard", "timezone": "UTC", "paper": "a4", "clip_cost": typed}
    maud.send("/setup/settings", **whole)
    price = plant.journal.read().execute("SELECT value FROM settings WHERE name = 'clip_cost'").fetchone()
    wrong = maud.send("/setup/settings", **{**whole, "clip_cost": "four"})

    assert price[0] == kept
    assert fault_beside(wrong, "clip_cost") == "'A new clip costs' is not a price (got 'four'); write it as 4.00."


@pytest.mark.browser
def test_the_six_are_typed_on_large_keys_and_another_vans_part_fills_the_screen(plant, off, page_as):
    unit = plant.unit("047312")
    plant.unit("118940", colour="Tern white")
    part = off(unit)
    page = page_as("per", f"/parts/{part}", size="tall")
    keys = page.locator("[data-label-keys]").first
    keys.locator("[data-key='9']").tap()
    page.get_by_role("button", name="Washed", exact=True).tap()
    expect(page.locator("#six-fault")).to_be_visible()  # the next key begins afresh
    for digit in "118940":
        keys.locator(f"[data-key='{digit}']").tap()
    expect(page.locator("#six")).to_have_value("118940")
    page.get_by_role("button", name="Washed", exact=True).tap()

    expect(page.locator(".stop")).to_contain_text("118 940, Brennach Tourer 6 in Tern white")
    expect(page.locator("#six")).to_have_value("")
    assert float(page.locator(".stop h2").evaluate("one => parseFloat(getComputedStyle(one).fontSize)")) >= 32
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    assert plant.rows("mixups", unit)


def test_the_flame_stage_offers_the_fire_watch_which_then_runs_over_the_part_and_is_refused_when_too_short(
    plant, desk, off
):
    unit, per = plant.unit(), desk("per")
    part = off(unit)
    assert stage(desk("per"), part, "off").status_code == 302
    page = f"/parts/{part}"
    assert "Start a safety timer: Fire watch" in per.words(page)
    told = {"timer-caution": "flame", "timer-place": "flame station", "timer-minutes": "20"}
    short = per.send(f"{page}/timer", page=page, **told)
    assert short.status_code == 422
    assert "runs for at least 30 minutes (got 20)" in said(short) + short.text
    assert plant.rows("timers", unit) == []
    nowhere = per.send(f"{page}/timer", page=page, **{**told, "timer-place": ""})
    assert "Where&#39; is missing" in nowhere.text
    half = per.send(f"{page}/timer", page=page, **{**told, "timer-minutes": "30,5"}).text
    assert "Minutes are a whole number from 1 to" in half
    none = per.send(f"{page}/timer", page=page, **{**told, "timer-caution": "dust"})
    assert none.status_code == 404

    assert per.send(f"{page}/timer", page=page, **{**told, "timer-minutes": "60"}).status_code == 302
    (row,) = plant.rows("timers", unit)
    assert (row["caution"], row["place"], row["minutes"], row["started_by"]) == (
        "flame", "flame station", 60, plant.per.person,
    )  # fmt: skip
    assert "Fire watch, flame station" in per.words(page)


def test_the_wait_of_a_caution_that_the_plant_gave_to_a_stage_is_offered(plant, desk, off):
    part, per = off(plant.unit()), desk("per")
    assert "Start a safety timer: Booth clearance" not in per.words(f"/parts/{part}")
    before = plant.journal.catalogue()
    told = rules.plain(before.rule_book)
    told["part_stages"]["stages"]["washed"]["cautions"] = ["isocyanate"]
    plant.publish(rules.with_rules(before, rules.from_plain(told)))

    assert "Start a safety timer: Booth clearance" in per.words(f"/parts/{part}")
