"""The page of a plan: both ways with their sums, a choice made otherwise with its reason, acceptance, staleness."""

import re

import pytest
from desk import Desk, fault_beside, said
from playwright.sync_api import expect

DOOR, PANEL, MOULDING = "left.cab_door_lower", "left.rear_panel_lower", "left.moulding_cab_door"


@pytest.fixture
def desk(client_as):
    return lambda who: Desk(client_as(who))


@pytest.fixture
def unit(plant):
    """A metallic van with a door that must be refinished, a nib elsewhere, and a moulding whose paint lets go."""
    key = plant.unit()
    walk = plant.ines.start_walk(key)
    for number, (kind, zone, more) in enumerate(
        (("mottling", DOOR, {}), ("nib", PANEL, {"size": 8}), ("flaking", MOULDING, {})), 1
    ):
        plant.ines.mark(key, walk, kind, zone, f"A{number}", **more)
    plant.ines.look_everywhere(key, walk)
    plant.ines.finish_walk(key, walk)
    plant.journal.settled()
    return key


def filled(page: str, **more) -> dict[str, str]:
    """The fields of the form as they stand on the page, with what somebody changes."""
    told = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    told |= dict(re.findall(r'<input type="radio" name="([^"]+)" value="([^"]+)" checked', page))
    return {**told, **more}


def test_the_page_says_both_ways_what_each_choice_costs_and_the_order(desk, unit):
    page = desk("per").words(f"/units/{unit}/plan")

    assert "One booth visit, " in page
    assert "B1, B3 can only be put right in the booth" in page or "B1 can only be put right in the booth" in page
    assert "Refinished whole it would be " in page
    assert "B1 cannot be mended as a spot; the part is refinished." in page
    assert "paint that lets go is never polished or touched in" in page
    assert "Metallic is blended between: " in page
    order = page[page.index("In this order") :]
    assert order.count("Fade the base across the joint") == 1  # one line for all its joints
    assert order.index("Strip") < order.index("Paint") < order.index("Polish") < order.index("Trim")
    assert "safety data sheet" in page


def test_the_drawing_tones_what_is_refinished_and_draws_the_joints(desk, unit):
    page = desk("per").get(f"/units/{unit}/plan").text
    assert 'data-how="whole"' in page
    assert page.count('<path class="plan-joint" d="M ') > 1
    assert page.count('<circle class="plan-spot"') == 3
    assert "<style" not in page
    assert "style=" not in page


def test_accepting_writes_the_jobs_once_and_the_page_says_who(plant, desk, unit):
    per = desk("per")
    path = f"/units/{unit}/plan"
    form = filled(per.get(path).text, do="accept")
    assert per.client.post(path, data=form).status_code == 302

    assert "Per Halvorsen accepted a plan" in per.words(path)
    methods = {row["method"] for row in plant.rows("jobs", unit) if row["state"] != "cancelled"}
    assert methods == {"blend_neighbour", "denib_polish", "strip_refinish"}
    again = per.client.post(path, data=form)  # sent twice: the same plan, the same jobs
    assert again.status_code == 302
    assert len([row for row in plant.rows("jobs", unit) if row["state"] != "cancelled"]) == len(methods) + 4

    plant.ines.mark(unit, None, "nib", PANEL, "A9", size=8)
    assert "It no longer fits: B4 has come since." in per.words(path)
    history = desk("maud").words(f"/units/{unit}/history")
    assert "Per Halvorsen accepted the plan of the work. One booth visit" in history


def test_a_choice_is_shown_with_its_sums_first_and_accepted_only_with_a_reason(plant, desk, unit):
    per, path = desk("per"), f"/units/{unit}/plan"
    form = filled(per.get(path).text, do="accept", **{"way-rear_panel_left": "refinish"})
    shown = per.client.post(path, data=form)
    assert shown.status_code == 200
    assert "The sums are made anew with your choices" in said(shown)
    assert "Spot by spot it would be " in said(shown)
    assert plant.rows("plans", unit) == []

    assert re.findall(r'id="why-(\w+)"[^>]* autofocus', shown.text) == ["rear_panel_left"]
    missing = per.client.post(path, data=filled(shown.text, do="accept"))
    assert missing.status_code == 422
    assert "Nothing is accepted yet: say below why a part goes otherwise than proposed." in said(missing)
    assert fault_beside(missing, "why-rear_panel_left") == "A reason is missing; say in a few words why."

    kept = per.client.post(
        path, data=filled(missing.text, do="accept", **{"why-rear_panel_left": "The film is thin there."})
    )
    assert kept.status_code == 302
    now = per.get(path).text  # the plan that holds, with the choice and its reason in it
    assert re.search(r'name="why-rear_panel_left" value="The film is thin there."', now)
    assert filled(now)["way-rear_panel_left"] == "refinish"
    assert "autofocus" not in now
    assert "Otherwise than it was proposed: " in desk("maud").words(f"/units/{unit}/history")


def test_a_choice_taken_back_leaves_it_to_the_sums_again(desk, unit):
    per, path = desk("per"), f"/units/{unit}/plan"
    shown = per.client.post(path, data=filled(per.get(path).text, do="again", **{"way-rear_panel_left": "refinish"}))
    assert 'name="own-rear_panel_left"' in shown.text
    back = per.client.post(path, data=filled(shown.text, do="again", **{"way-rear_panel_left": "spots"}))
    assert 'name="own-rear_panel_left"' not in back.text


def test_a_choice_that_cannot_be_is_told_and_nothing_is_kept(plant, desk, unit):
    per, path = desk("per"), f"/units/{unit}/plan"
    asked = per.client.post(path, data=filled(per.get(path).text, do="accept", **{"way-cab_door_left": "spots"}))
    assert "B1 cannot be mended as a spot; the part is refinished." in said(asked)
    nowhere = per.client.post(
        path, data=filled(per.get(path).text, do="accept", **{"was-bonnet": "spots", "way-bonnet": "refinish"})
    )
    assert "There is nothing to put right on 'bonnet'; reload the page." in said(nowhere)
    assert plant.rows("plans", unit) == []


def test_a_page_from_before_a_change_is_not_accepted(plant, desk, unit):
    per, path = desk("per"), f"/units/{unit}/plan"
    form = filled(per.get(path).text, do="accept")
    plant.ines.mark(unit, None, "scratch", DOOR, "A9", size=300)
    answer = per.client.post(path, data=form)
    assert answer.status_code == 409
    assert "have changed since the plan was shown" in said(answer)


def test_plans_are_listed_and_linked_from_the_card_and_from_rework(desk, unit):
    per = desk("per")
    assert f'href="/units/{unit}/plan"' in per.get("/plans").text
    assert f'href="/units/{unit}/plan"' in per.get(f"/units/{unit}").text
    assert 'href="/plans"' in per.get("/rework").text
    assert f'href="/units/{unit}/plan"' not in desk("ines").get(f"/units/{unit}").text
    assert desk("ines").get(f"/units/{unit}/plan").status_code == 403


def test_money_is_counted_when_the_plant_has_a_price_of_an_hour(plant, desk, unit):
    maud = desk("maud")
    assert "In money" not in maud.words(f"/units/{unit}/plan?count=money")
    whole = {"plant": "Halden yard", "timezone": "UTC", "paper": "a4", "clip_cost": "4.00"}
    wrong = maud.send("/setup/settings", **whole, hour_cost="sixty")
    assert fault_beside(wrong, "hour_cost") == "'An hour of work costs' is not a price (got 'sixty'); write it as 4.00."
    assert maud.send("/setup/settings", **whole, hour_cost="60,00", booth_cost="90").status_code == 302

    page = maud.words(f"/units/{unit}/plan?count=money")
    assert re.search(r"One booth visit, \d+\.\d\d: ", page)
    assert maud.send("/setup/settings", **whole, hour_cost="", booth_cost="").status_code == 302
    assert plant.journal.read().execute("SELECT value FROM settings WHERE name = 'hour_cost'").fetchone()["value"] == ""


def test_each_department_may_have_its_own_price_of_an_hour_and_the_page_shows_it(plant, desk, unit):
    maud = desk("maud")
    whole = {"plant": "Halden yard", "timezone": "UTC", "paper": "a4", "clip_cost": "4.00", "booth_cost": "90"}
    wrong = maud.send("/setup/settings", **whole, hour_cost="60", hour_cost_paint="dear")
    assert fault_beside(wrong, "hour_cost_paint") == (
        "The price of an hour in 'Paint' is not a price (got 'dear'); write it as 60.00, or leave it empty."
    )
    alone = maud.send("/setup/settings", **whole, hour_cost="", hour_cost_paint="84")
    assert fault_beside(alone, "hour_cost_paint").startswith("Fill in 'An hour of work costs', too")
    assert maud.send("/setup/settings", **whole, hour_cost="60", hour_cost_paint="84,50").status_code == 302
    assert 'name="hour_cost_paint" type="text" value="84.50"' in maud.get("/setup/settings").text

    page = maud.words(f"/units/{unit}/plan?count=money")
    hours = page[page.rindex("Hours") :]
    paint = re.search(r"Paint (?:(\d+) h)? ?(?:(\d+) min)? ([\d.]+) at 84\.50 an hour", hours)
    minutes = int(paint[1] or 0) * 60 + int(paint[2] or 0)
    assert float(paint[3]) == pytest.approx(minutes * 84.5 / 60, abs=0.0051)
    amounts = [float(one) for one in re.findall(r"([\d.]+) at [\d.]+ an hour", hours)]
    told = float(re.search(r"One booth visit, ([\d.]+): ", page)[1])
    assert sum(amounts) + 90 == pytest.approx(told, abs=0.01 * len(amounts))
    assert " an hour" not in maud.words(f"/units/{unit}/plan")


def test_a_van_with_nothing_to_put_right_says_so(plant, desk):
    clean = plant.unit(last_six="047399")
    assert "There is nothing to plan." in desk("per").words(f"/units/{clean}/plan")


@pytest.mark.browser
def test_a_choice_is_made_by_touch_and_accepted_with_its_reason(plant, unit, page_as):
    page = page_as("per", f"/units/{unit}/plan", size="phone")
    part = page.locator("#part-rear_panel_left")
    part.get_by_text("Refinish whole").tap()
    page.get_by_role("button", name="Accept this plan").tap()
    reason = part.get_by_label("Why otherwise than proposed")
    expect(reason).to_be_visible()
    reason.fill("The film is thin there.")
    page.get_by_role("button", name="Accept this plan").tap()

    expect(page.get_by_text("Per Halvorsen accepted a plan")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    jobs = [row for row in plant.rows("jobs", unit) if row["method"] == "blend_neighbour" and row["state"] == "ready"]
    assert {row["part"] for row in jobs} >= {"cab_door_left"}
    page.goto(f"/rework/{next(row['id'] for row in jobs if row['part'] == 'rear_panel_left')}")
    says = page.locator("[data-part=says]")
    expect(says).to_contain_text("Blend into ")
    expect(says).to_contain_text("Otherwise than the plan proposed, Per Halvorsen: The film is thin there.")
    expect(says).not_to_contain_text("It came back")
