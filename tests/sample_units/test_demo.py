"""The demo plant: whole, in every stage, sound, and the same each time it is made."""

from __future__ import annotations

import io
import json
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest
from PIL import Image

from inspect_app.journal import Journal
from inspect_app.journal.planned import task
from inspect_app.journal.verify import verify
from inspect_app.rooms.people import pins
from inspect_app.trade import vin
from sample_units import demo, people, pictures
from sample_units.marks import specs

NOW = round(datetime(2026, 3, 11, 9, 40, tzinfo=UTC).timestamp() * 1000)  # a Wednesday
SUNDAY_NIGHT = round(datetime(2026, 3, 8, 0, 20, tzinfo=UTC).timestamp() * 1000)
# Makes and models of vans and cars that exist (listed from memory), as the first eight digits of their SHA-256: the demo must
# bear none of their names, and neither must this file.
REAL = """
068b7e6c 09b7b4be 0f909633 16103dd0 1a49bfba 1c319d59 20f37670 27df9ed9 2b584134 337b8d2c 341fe1ad 36236add
36b53ead 37268bb0 37d54c1e 40fc6718 43385991 44e8dd36 4596367b 48b676e2 4d13e1db 5336996a 5362c2c3 544e2d61
55905469 55e6b838 5646a023 573abb3c 5d2c13d6 646b3e25 6eab09fc 6f31304c 7358bd4e 784109ed 8417659f 85c04dff
917ebb33 93d65b44 96e39554 99e4fd7b 9a046660 9c15e816 9c456937 9e48bad6 a405eba7 a4a04fef a631f448 a744d93f
aa59343f aa98207a aaa02d58 ac858922 aeebad4a b0c5f417 b0fbddb4 b2808c94 b51026e4 b6742b8c baae5f7f bccae4ce
c40677cf c444d3c8 c5626fc8 c7ad2ac2 c9b556cc cde94d97 ce2bba84 d0c44fb1 d1c7c99c d222a18d d254fa84 d5e34819
dd6c5828 e462aa65 e7867363 e9949d90 f081f7b8 f25bbea0 f534f9a1 f7360ea7 fa5bf879 fc613b4d fe9cc099
"""


@pytest.fixture(scope="module")
def drawn_once() -> Iterator[None]:
    """No photo is drawn a second time for a second demo: that it would be the same is for test_demo_photos.py."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pictures, "_make", cache(pictures._make))
        yield


@pytest.fixture(scope="module")
def made(drawn_once, tmp_path_factory) -> Path:
    """The demo, made once; its photos are drawn small here, and large, one of each kind, in test_demo_photos.py."""
    folder = tmp_path_factory.mktemp("demo") / "data"
    demo.make(folder, lambda: NOW, small=True)
    return folder


@pytest.fixture
def story(made):
    """The journal of the demo, opened for reading at the moment it was made for."""
    with Journal(made, clock=lambda: NOW) as journal:
        yield journal.read()


def counts(db) -> dict[str, list[tuple]]:
    """What a story comes to, without ids and times."""
    asked = {
        "units": "SELECT build_number, stage, state, revision, markers, open, in_rework, reworked, questions, voided FROM units ORDER BY 1",
        "markers": "SELECT kind, zone, x, y, size, severity, state, origin, count(*) FROM markers GROUP BY 1,2,3,4,5,6,7,8",
        "jobs": "SELECT method, department, state, count(*), sum(minutes) FROM jobs GROUP BY 1, 2, 3",
        "photos": "SELECT role, state, sha FROM photos ORDER BY 1, 2, 3",
        "events": "SELECT type, outcome, count(*) FROM events WHERE type <> 'heads_anchored' GROUP BY 1, 2",
    }
    return {name: [tuple(row) for row in db.execute(sql)] for name, sql in asked.items()}


def situation(db, unit) -> str:
    """Where a van stands in the job, told finer than by its stage alone."""

    def has(sql: str) -> bool:
        return db.execute(sql, {"unit": unit["id"], "now": NOW}).fetchone() is not None

    if unit["stage"] == "to_walk":
        return "walked as it came" if has("SELECT 1 FROM walks WHERE unit = :unit") else "just arrived"
    if unit["state"] == "open" and unit["revision"]:
        return "reopened"
    if has("SELECT 1 FROM markers WHERE unit = :unit AND cure_until > :now"):
        return "curing"
    if has("SELECT 1 FROM markers WHERE unit = :unit AND returns > 0 AND state = 'reworked'"):
        return "waits for a second look"
    if unit["stage"] == "in_rework" and has("SELECT 1 FROM jobs WHERE unit = :unit AND state = 'taken'"):
        return "in rework"
    return unit["stage"]


def test_ten_vans_stand_in_ten_stages(story):
    stages = Counter(situation(story, unit) for unit in story.execute("SELECT * FROM units"))

    assert stages == Counter(
        (
            "just arrived", "walked as it came", "walking", "in_rework", "in rework", "curing",
            "waits for a second look", "to_sign", "signed", "reopened",
        )
    )  # fmt: skip


def test_two_open_vans_share_their_last_six_and_nothing_else(story):
    sql = "SELECT * FROM units WHERE last_six = '047312' AND state = 'open'"
    one, other = story.execute(sql).fetchall()

    assert one["make"] != other["make"]
    assert one["colour"] != other["colour"]
    assert len({row[0] for row in story.execute("SELECT last_six FROM units")}) == 9


def test_verify_finds_the_demo_clean(made):
    told = verify(made)

    assert told.clean, told.sentence


def test_a_dozen_people_can_sign_in_with_the_pins_that_are_printed(made, story):
    with_pins = {row["name"]: row["pin_hash"] for row in story.execute("SELECT name, pin_hash FROM people")}

    assert len(with_pins) == 12
    assert {"Łukasz", "Nguyễn", "Żaneta", "Дмитро"} <= {name.split()[0] for name in with_pins}
    for person in people.cast():
        assert pins.hasher().verify(with_pins[person.name], person.pin)


def test_every_department_that_takes_jobs_has_somebody():
    departments = {department for person in people.cast() for department in person.departments}

    with_jobs = {"body", "paint", "prep", "strip", "trim", "glass", "fit", "polish", "stores"}
    assert departments == with_jobs


def test_no_event_of_the_story_was_refused_and_only_the_escape_was_flagged(story):
    assert story.execute("SELECT count(*) FROM refused").fetchone()[0] == 0
    flagged = story.execute("SELECT type, reason FROM events WHERE outcome <> 'applied'").fetchall()
    assert [row["type"] for row in flagged] == ["marker_made"]
    assert "escape" in flagged[0]["reason"]


def test_the_story_runs_forwards_and_ends_before_now(story):
    received = [row[0] for row in story.execute("SELECT received_at FROM events ORDER BY n")]
    at = [row[0] for row in story.execute("SELECT at FROM events")]

    assert received == sorted(received)
    assert max(at) <= NOW
    assert NOW - min(at) < 25 * 86_400_000


def test_no_mark_was_cleared_by_who_worked_on_it_or_before_it_had_cured(story):
    cleared = story.execute("SELECT * FROM markers WHERE state = 'cleared'").fetchall()
    workers = {(row["marker"], row["person"]) for row in story.execute("SELECT marker, person FROM work")}

    assert len(cleared) > 40
    assert not [row for row in cleared if (row["id"], row["decided_by"]) in workers]
    assert not [row for row in cleared if row["cure_until"] and row["decided_at"] < row["cure_until"]]


def test_the_dent_is_at_its_second_step_and_a_part_is_waited_for(story):
    taken = story.execute("SELECT * FROM jobs WHERE method = 'dent_refinish' AND state = 'taken'").fetchone()
    waiting = story.execute("SELECT * FROM jobs WHERE waiting_what IS NOT NULL").fetchall()

    assert (taken["step"], taken["steps"], taken["department"]) == (2, 3, "paint")
    assert [row["department"] for row in waiting] == ["stores"]
    assert waiting[0]["waiting_until"] > NOW


def test_one_concession_is_asked_and_one_was_agreed_by_a_manager_and_one_more(story):
    rows = story.execute(
        "SELECT c.*, m.severity FROM concessions c JOIN markers m ON m.id = c.marker ORDER BY c.state"
    ).fetchall()

    assert [(row["state"], row["severity"]) for row in rows] == [("agreed", "S2"), ("asked", "S3")]
    assert rows[0]["approvers"].count('"person"') == 2


def test_it_shows_a_cluster_a_mix_up_and_a_water_test_that_failed_and_then_held(story):
    together = story.execute("SELECT count(*) FROM markers WHERE alone_verdict = 'within' AND verdict = 'over'")
    assert together.fetchone()[0] > 0
    assert story.execute("SELECT count(*) FROM mixups").fetchone()[0] == 1
    told: dict[str, list[str]] = {}
    for row in story.execute("SELECT stream, body FROM events WHERE type = 'gate_confirmed' ORDER BY n"):
        if (body := json.loads(row["body"]))["gate"] == "water":
            told.setdefault(row["stream"], []).append(body["values"]["result"])

    assert [results for results in told.values() if "entry" in results] == [["entry", "dry"]]


def test_it_shows_a_barred_polish_and_plans_with_and_without_a_part_refinished_whole(made):
    barred, whole = set(), {}
    with Journal(made, clock=lambda: NOW) as journal:
        db = journal.read()
        for unit in db.execute("SELECT * FROM units WHERE state = 'open'").fetchall():
            held = task(db, unit, journal.catalogue(), journal.outline(unit["outline"]))
            barred |= {method for one in held.opened.values() for method in one.barred}
            if held.flaws:
                plan = held.plan()
                whole[unit["build_number"]] = plan.proposed.booth, len(plan.proposed.refinish)

    assert {"denib_polish", "flat_polish", "machine_polish"} & barred
    assert [build for build, (booth, parts) in whole.items() if booth and parts]
    assert [build for build, (_, parts) in whole.items() if not parts]


def test_busy_vans_carry_marks_of_many_kinds_with_notes_and_some_judged_origins(story):
    busy = [row[0] for row in story.execute("SELECT markers FROM units WHERE stage NOT IN ('to_walk', 'walking')")]
    kinds = {row[0] for row in story.execute("SELECT DISTINCT kind FROM markers")}
    basis = Counter(row[0] for row in story.execute("SELECT origin_basis FROM markers"))

    assert all(15 <= many <= 40 for many in busy)
    assert len(kinds) >= 25
    assert min(basis["assumed"], basis["judged"]) > 40
    assert story.execute("SELECT count(*) FROM markers WHERE note IS NOT NULL").fetchone()[0] > 25


def test_photos_decode_and_carry_nothing_but_pixels(made, story):
    shas = {row[0] for row in story.execute("SELECT sha FROM photos WHERE state = 'stored'")}

    assert 24 <= len(shas) <= 32
    for sha in shas:
        data = (made / "photos" / sha[:2] / f"{sha}.full.jpg").read_bytes()
        picture = Image.open(io.BytesIO(data))
        picture.load()
        assert picture.size == (640, 480)
        assert not picture.getexif()
        assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_no_maker_that_exists_is_named():
    words = {word.casefold() for spec in specs() for word in f"{spec.make} {spec.model}".split()}

    assert not {sha256(word.encode()).hexdigest()[:8] for word in words} & set(REAL.split())
    assert {spec.make for spec in specs()} == {"Kestvald", "Brennach", "Orlune"}


def test_chassis_numbers_are_right_down_to_the_check_digit():
    assert all(vin.check_digit_holds(spec.chassis) for spec in specs())


def test_the_same_story_is_told_on_a_sunday_night(drawn_once, made, story, tmp_path):
    demo.make(tmp_path / "again", lambda: SUNDAY_NIGHT, small=True)

    with Journal(tmp_path / "again", clock=lambda: SUNDAY_NIGHT) as other:
        assert counts(other.read()) == counts(story)
