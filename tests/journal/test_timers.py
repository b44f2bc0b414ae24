"""Safety timers: started at a place by name, seen by everybody, ended by name, never by themselves."""

from __future__ import annotations

import dataclasses
import shutil

import pytest

from inspect_app.journal.journal import Journal
from inspect_app.journal.queries import changes
from inspect_app.journal.verify import verify
from inspect_app.trade.catalogue import builtin, check
from inspect_app.trade.catalogue_read import load
from sample_units.hands import new_id

MINUTE = 60_000
UNKNOWN = "01900000-0000-7000-8000-000000000000"


def started(hand, unit: str, caution: str = "flame", minutes: int = 60, **more) -> str:
    timer = new_id()
    body = {"timer": timer, "caution": caution, "place": "flame station", "minutes": minutes, **more}
    assert hand.do(unit, "timer_started", body).outcome == "applied"
    return timer


def later(plant, minutes: int) -> None:
    now = plant.journal.clock()
    plant.journal.clock = lambda: now + minutes * MINUTE


def test_a_timer_runs_from_the_moment_it_was_started_however_late_it_is_sent(plant):
    unit = plant.unit()
    timer = started(plant.zaneta, unit, minutes=45)
    row = plant.row("timers", timer)

    assert (row["state"], row["minutes"], row["place"]) == ("running", 45, "flame station")
    assert row["until"] == row["started_at"] + 45 * MINUTE
    assert row["last_six"] == plant.row("units", unit)["last_six"]


def test_it_never_ends_by_itself_and_ends_by_whoever_has_looked(plant):
    unit = plant.unit()
    timer = started(plant.zaneta, unit)
    later(plant, 61)

    assert plant.row("timers", timer)["state"] == "running"
    assert plant.ines.do(unit, "timer_ended", {"timer": timer}).outcome == "applied"
    row = plant.row("timers", timer)
    assert (row["state"], row["ended_by"], row["reason"]) == ("ended", plant.ines.person, None)


def test_before_its_time_it_ends_only_with_a_reason(plant):
    unit = plant.unit()
    timer = started(plant.zaneta, unit)

    answer = plant.zaneta.do(unit, "timer_ended", {"timer": timer})
    assert (answer.code, plant.row("timers", timer)["state"]) == ("timer_over", "running")

    plant.zaneta.do(unit, "timer_ended", {"timer": timer, "reason": "started by mistake"})
    assert plant.row("timers", timer)["reason"] == "started by mistake"


def test_of_two_who_looked_the_first_stays_and_nobody_is_told_off(plant):
    unit = plant.unit()
    timer = started(plant.zaneta, unit)
    later(plant, 61)
    plant.ines.do(unit, "timer_ended", {"timer": timer})

    assert plant.per.do(unit, "timer_ended", {"timer": timer}).outcome == "applied"
    assert plant.row("timers", timer)["ended_by"] == plant.ines.person
    assert plant.rows("questions", unit) == []


@pytest.mark.parametrize(
    ("body", "code"),
    [
        # 29 CFR 1910.252(a)(2)(iii)(B): a fire watch of at least a half hour after the work
        ({"minutes": 29}, "minutes"),
        ({"caution": "dust"}, "no_caution"),
        ({"caution": "nothing_such"}, "no_caution"),
        ({"job": UNKNOWN}, "no_job"),
        ({"minutes": 0}, "malformed"),
        ({"place": " "}, "malformed"),
    ],
)
def test_what_cannot_run_is_refused_in_a_sentence(plant, body, code):
    unit = plant.unit()
    whole = {"timer": new_id(), "caution": "flame", "place": "flame station", "minutes": 60, **body}

    answer = plant.zaneta.do(unit, "timer_started", whole)
    assert (answer.outcome, answer.code) == ("refused", code)
    assert answer.reason.endswith((".", "by hand"))
    assert plant.rows("timers", unit) == []


def test_a_timer_is_started_once_and_one_of_another_unit_is_not_known(plant):
    unit, other = plant.unit(), plant.unit()
    timer = started(plant.zaneta, unit)
    again = {"timer": timer, "caution": "flame", "place": "elsewhere", "minutes": 60}

    assert plant.zaneta.do(unit, "timer_started", again).reason == "This timer was started before."
    assert plant.zaneta.do(other, "timer_ended", {"timer": timer, "reason": "x"}).code == "no_timer"


def test_everybody_reads_of_it_and_a_new_tablet_only_of_those_that_run(plant):
    unit = plant.unit()
    running, over = started(plant.zaneta, unit), started(plant.zaneta, unit, "isocyanate", 5)
    plant.zaneta.do(unit, "timer_ended", {"timer": over, "reason": "started by mistake"})

    fresh = changes.of_plant(plant.journal.read(), 0, plant.per.person)["timers"]
    assert [row["id"] for row in fresh] == [running]
    known = changes.of_plant(plant.journal.read(), 1, plant.per.person)["timers"]
    assert {row["id"]: row["state"] for row in known} == {running: "running", over: "ended"}
    assert len(changes.of_unit(plant.journal.read(), unit, 0)["timers"]) == 2


def test_it_outlives_the_server_and_is_rebuilt_as_it_was(plant, tmp_path):
    unit = plant.unit()
    timer = started(plant.zaneta, unit)
    before = plant.row("timers", timer)
    folder = tmp_path / "after"  # as the disk stands when the power goes
    shutil.copytree(plant.journal.folder.path, folder, ignore=shutil.ignore_patterns("lock"))

    with Journal(folder) as again:
        row = again.read().execute("SELECT * FROM timers WHERE id = ?", (timer,)).fetchone()
        assert dict(row) == before
        told = verify(folder)
        assert told.clean, told.sentence


def test_every_timer_of_the_catalogue_can_run_and_a_plant_that_has_none_keeps_its_hash():
    found = builtin()
    timed = {one.key: (one.timer_minutes, one.timer_least) for one in found.cautions.values() if one.timer}
    assert timed == {"isocyanate": (30, 1), "flame": (60, 30), "glass": (60, 1)}

    plain = found.to_json()
    assert "timer" not in plain["cautions"]["dust"]
    assert load(plain).hash == found.hash


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"timer": ""}, "has minutes but no timer"),
        ({"timer_minutes": 0, "timer_least": 0}, "runs for 1 to 1440 minutes"),
        ({"timer_minutes": 20}, "proposes fewer minutes than it takes"),
    ],
)
def test_a_timer_that_could_not_run_is_named(change, says):
    found = builtin()
    flame = dataclasses.replace(found.cautions["flame"], **change)
    faulty = dataclasses.replace(found, cautions={**found.cautions, "flame": flame})

    assert [fault for fault in check(faulty) if says in fault]
