"""The floor: what needs whom comes first, in words that say why."""

from __future__ import annotations

import re
from zoneinfo import ZoneInfo

import pytest
from desk import Desk, said

from inspect_app.rooms.units.words import due_words, minutes_words, moment_words
from sample_units.hands import new_id

UTC = ZoneInfo("UTC")
NOON = 1_774_008_000_000  # Friday 2026-03-20 12:00 UTC
DAY = 86_400_000


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


def groups(answer) -> dict[str, str]:
    """Heads of the groups in sight with what stands under each."""
    found = re.findall(r'<h2 id="g-[a-z]+">(.*?)</h2>(.*?)</section>', answer.text, flags=re.S)
    return {head: re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", rest)) for head, rest in found}


def folds(answer) -> dict[str, str]:
    """Folded groups with their counts."""
    found = re.findall(r'data-fold="(\w+)"><summary>.*?<span class="count">(.*?)</span>', answer.text, flags=re.S)
    return dict(found)


def walked(plant, last_six="118940", kinds=("nib",)) -> str:
    unit = plant.unit(last_six)
    walk = plant.ines.start_walk(unit)
    for number, kind in enumerate(kinds, 1):
        plant.ines.mark(unit, walk, kind, "left.sliding_door_lower", f"B{number}", size=15)
    plant.ines.finish_walk(unit, walk)
    return unit


def test_an_inspector_sees_first_what_an_inspector_does(plant, desk):
    plant.unit("047312")
    begun = plant.unit("203377")
    plant.ines.start_walk(begun)

    found = groups(desk("ines").get("/"))

    assert list(found) == ["Your walks under way", "To walk"]
    assert "203 377" in found["Your walks under way"]
    assert "first walk, begun by you at" in found["Your walks under way"]
    assert "047 312" in found["To walk"]


def test_a_walk_that_someone_else_began_stands_with_others(plant, desk):
    plant.lukasz.start_walk(plant.unit("203377"))

    page = desk("ines").get("/")

    assert "203 377" not in " ".join(groups(page).values())
    assert folds(page)["others"] == "1 unit"
    assert "begun by Łukasz Brandt" in said(page)


def test_a_technician_sees_jobs_of_their_own_departments_only(plant, desk):
    unit = walked(plant, kinds=("nib", "dent"))

    polish, body = groups(desk("per").get("/")), groups(desk("zaneta").get("/"))

    assert "1 job for polish" in polish["Jobs to take"]
    assert "1 job for body" in body["Jobs to take"]
    assert f'href="/rework/{plant.zaneta.jobs(unit)[0]["id"]}"' in desk("zaneta").get("/").text


def test_a_later_step_waits_until_the_step_before_is_done(plant, desk):
    unit = walked(plant, kinds=("pinhole",))
    assert "1 job after an earlier step" in groups(desk("thanh").get("/"))["Jobs that wait"]

    plant.zaneta.work(unit, plant.zaneta.jobs(unit)[0])

    assert "1 job for paint" in groups(desk("thanh").get("/"))["Jobs to take"]


def test_a_job_taken_stands_on_top_and_says_what_it_waits_for(plant, desk):
    unit = walked(plant)
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    plant.per.do(unit, "waiting_for", {"job": job["id"], "what": "fine discs", "until": None})

    found = groups(desk("per").get("/"))

    assert list(found) == ["Your jobs"]
    assert "Go on: 1 job for polish" in found["Your jobs"]
    assert "waits for fine discs" in found["Your jobs"]


def test_a_ring_that_cures_is_not_offered_before_its_time(plant, desk):
    unit = walked(plant)
    plant.per.work(unit, plant.per.jobs(unit)[0])

    line = groups(desk("ines").get("/"))["To look again"]

    assert "still curing, until" in line
    assert "Look again:" not in line


def test_a_promise_of_another_millennium_is_refused_and_the_floor_stays(plant, desk):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "swirl", "left.sliding_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    job = plant.per.jobs(unit)[0]
    until = 577_736_236_799_999  # 20277-09-30, as a slip on a date field gives it

    answer = plant.per.do(unit, "waiting_for", {"job": job["id"], "what": "fine discs", "until": until})

    assert (answer.outcome, answer.code) == ("refused", "malformed")
    assert "this day lies after the year 2099; choose it again" in answer.reason
    assert desk("per").get("/").status_code == 200


def test_whoever_worked_on_a_ring_is_told_that_someone_else_looks(plant, desk):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "dirt", "left.sliding_door_lower", "B1", severity="S4")
    plant.ines.finish_walk(unit, walk)
    assert plant.ines.do(unit, "put_right_here", {"marker": marker, "how": "wipe"}).outcome == "applied"

    assert "you worked on it, so someone else looks" in groups(desk("ines").get("/"))["To look again"]
    assert "Look again: 1 ring" in groups(desk("lukasz").get("/"))["To look again"]


def test_a_spot_that_cannot_be_found_asks_inspectors_and_managers(plant, desk):
    unit = walked(plant)
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    marker = plant.rows("markers", unit)[0]["id"]
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": marker, "reason": "no nib here"})

    assert "no nib here" in groups(desk("lukasz").get("/"))["Questions to answer"]
    assert "Questions to answer" not in groups(desk("per").get("/"))


def test_a_concession_is_not_put_before_the_one_who_asked_for_it(plant, desk):
    unit = walked(plant)
    marker = plant.rows("markers", unit)[0]["id"]
    words = {"reason": "the customer takes it", "customer": "Mr Invented", "channel": "phone"}
    plant.maud.do(unit, "concession_asked", {"concession": new_id(), "marker": marker}, words)

    assert "Concessions to answer" not in groups(desk("maud").get("/"))


def test_a_manager_answers_the_concession_an_inspector_asked_for(plant, desk):
    unit = walked(plant)
    marker = plant.rows("markers", unit)[0]["id"]
    words = {"reason": "the customer takes it", "customer": "Mr Invented", "channel": "phone"}
    plant.ines.do(unit, "concession_asked", {"concession": new_id(), "marker": marker}, words)

    assert "Agree or refuse: B1" in groups(desk("maud").get("/"))["Concessions to answer"]
    assert "Concessions to answer" not in groups(desk("lukasz").get("/"))


def test_a_clean_unit_is_ready_to_sign_and_leads_to_its_sign_off(plant, desk):
    unit = walked(plant, kinds=())

    assert "Sign every mark is decided" in groups(desk("ines").get("/"))["Ready to sign"]
    assert f'href="/sign-off/{unit}"' in desk("ines").get("/").text


def test_a_manager_sees_late_units_with_the_day_they_were_due(plant, desk):
    plant.unit("118940", due=plant.journal.clock() - 3 * DAY)

    assert "118 940" in groups(desk("maud").get("/"))["Late"]
    assert "Late" not in groups(desk("ines").get("/"))


def test_someone_with_two_roles_sees_the_groups_of_both(plant, desk):
    plant.unit("118940", due=plant.journal.clock() - DAY)

    assert {"To walk", "Late"} <= set(groups(desk("maud").get("/")))


def test_empty_groups_say_what_would_fill_them(plant, desk):
    page = desk("per").get("/")

    assert "Your jobs · Jobs to take · Jobs that wait" in folds(page)["empty"]
    assert "Jobs come here when a walk is finished" in said(page)


def test_whoever_has_nothing_to_do_is_told_where_the_units_are(plant, desk):
    plant.unit("047312")

    assert "1 unit is with others, below: its line says what it waits for." in desk("per").words("/")


def test_an_empty_plant_shows_each_where_units_come_from(plant, desk):
    assert 'href="/setup/units/import"' in desk("maud").get("/").text
    assert 'href="/units/new"' in desk("ines").get("/").text
    assert "an inspector adds a van that stands at the door" in desk("per").words("/")


def test_units_that_share_their_last_six_say_so_on_the_line(plant, desk):
    plant.unit("047312")
    plant.unit("047312", colour="Chalk white")

    assert groups(desk("ines").get("/"))["To walk"].count("another unit ends so") == 2


def test_many_units_of_one_group_are_folded_and_none_is_lost(plant, desk):
    for number in range(14):
        plant.unit(f"{200_000 + number}")

    page = desk("ines").get("/")

    assert "14 units" in groups(page)["To walk"]
    assert "6 more" in said(page)
    assert page.text.count('class="line unit-line"') == 14


def test_the_groups_alone_are_answered_with_304_until_something_happens(plant, desk):
    client, journal = desk("ines").client, plant.journal
    noon = journal.clock() // 60_000 * 60_000
    journal.clock = lambda: noon  # or the minute may end between two questions
    known = {"If-None-Match": client.get("/floor/groups").headers["ETag"]}
    assert client.get("/floor/groups", headers=known).status_code == 304

    plant.unit("203377")

    after = client.get("/floor/groups", headers=known)
    assert after.status_code == 200
    assert "203 377" in said(after)


@pytest.mark.parametrize(
    ("due", "words"),
    [
        (None, "no due date"),
        (NOON + 2 * 3_600_000, "today 14:00"),
        (NOON + DAY, "tomorrow 12:00"),
        (NOON + 4 * DAY, "Tue 12:00"),
        (NOON + 20 * DAY, "Thu 9 Apr"),
        (NOON + 12 * 3_600_000 - 1, "today"),
        (NOON - 3_600_000, "late, today 11:00"),
        (NOON - 3 * DAY, "late, Tue 17 Mar"),
    ],
)
def test_due_dates_are_said_as_one_says_them(due, words):
    assert due_words(due, NOON, UTC) == words


def test_what_is_to_come_within_a_week_is_said_with_its_time():
    told = [moment_words(NOON + after, NOON, UTC) for after in (3_600_000, DAY, 6 * DAY, 7 * DAY, -DAY, -7 * DAY)]

    assert told == ["13:00", "Sat 12:00", "Thu 12:00", "27 Mar", "Thu 12:00", "13 Mar"]


def test_the_plants_own_midnight_decides_what_is_today():
    late_evening = NOON + 11 * 3_600_000 + 30 * 60_000  # 23:30 UTC is 00:30 of the next day in Berlin
    assert moment_words(late_evening, late_evening + 3_600_000, ZoneInfo("Europe/Berlin")) == "00:30"
    assert moment_words(late_evening, late_evening + 3_600_000, UTC) == "Fri 23:30"


def test_minutes_are_said_in_hours_from_one_hour_on():
    assert [minutes_words(one) for one in (0, 25, 60, 390)] == ["0 min", "25 min", "1 h", "6 h 30 min"]
