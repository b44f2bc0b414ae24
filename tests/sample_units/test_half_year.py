"""The half-year lived through the journal: sound, in every stage, what the plan says, with pictures."""

from __future__ import annotations

import contextlib
import io
import sqlite3
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest
from PIL import Image, ImageChops

from inspect_app.journal import Journal
from inspect_app.journal.verify import verify
from inspect_app.photos import Store
from inspect_app.rates.poisson import garwood
from inspect_app.rooms.rates.widths import widths
from inspect_app.trade import catalogue, outline
from sample_units import people
from sample_units.demo import here
from sample_units.half_year import __main__ as command
from sample_units.half_year import bench, grow, key, make
from sample_units.half_year.calendar import Calendar
from sample_units.half_year.plan import plan

NOW = round(datetime(2026, 3, 11, 14, 10, tzinfo=UTC).timestamp() * 1000)  # a Wednesday
UNITS, SEED = 40, 5  # a plan in which all five patterns show on so few vans


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    """A small half-year, made once."""
    folder = tmp_path_factory.mktemp("half-year") / "data"
    make.build(folder, NOW, seed=SEED, units=UNITS)
    return folder


@pytest.fixture(scope="module")
def journal(made):
    """Its journal, at the moment it was made for."""
    with Journal(made, clock=lambda: NOW) as opened:
        yield opened


@pytest.fixture(scope="module")
def units():
    """Its plan, drawn once more."""
    return plan(SEED, UNITS)


@pytest.fixture
def db(journal):
    return journal.read()


def test_verify_finds_it_clean(made, journal):
    told = verify(made)

    assert told.clean, told.sentence


def test_vans_stand_in_every_stage(db):
    stages = Counter(row["stage"] for row in db.execute("SELECT stage FROM units"))

    assert set(stages) >= {"walking", "in_rework", "to_look_again", "to_sign", "signed"}
    assert stages["signed"] > UNITS * 0.6


def test_everything_was_taken_and_only_escapes_were_flagged(db):
    flagged = {row["type"] for row in db.execute("SELECT DISTINCT type FROM events WHERE outcome = 'flagged'")}

    assert db.execute("SELECT count(*) FROM refused").fetchone()[0] == 0
    assert flagged <= {"marker_made", "origin_revised", "photo_added"}
    assert db.execute('SELECT count(*) FROM markers WHERE "escape" = 1').fetchone()[0] >= 1


def test_escapes_returns_concessions_and_reopenings_are_among_it(db):
    happened = {row["type"] for row in db.execute("SELECT DISTINCT type FROM events")}

    assert happened & {"concession_agreed", "concession_refused"}
    assert happened >= {
        "marker_sent_back", "concession_asked", "unit_reopened", "question_answered",
        "marker_accepted", "origin_revised", "photo_stored", "sheet_issued", "unit_signed",
    }  # fmt: skip


def test_the_journal_has_the_flaws_of_the_plan_and_no_others(db, units):
    wanted, found = Counter(), Counter()
    built = {unit.build_number: unit for unit in units}
    rows = db.execute(
        "SELECT u.build_number, m.kind, m.zone, m.gap FROM markers m JOIN units u ON u.id = m.unit JOIN walks w ON w.id = m.walk"
        " WHERE w.purpose = 'first' AND w.state = 'finished'"
    ).fetchall()
    for row in rows:
        found[tuple(row)] += 1
    for number in {row["build_number"] for row in rows}:
        for flaw in built[number].flaws:
            wanted[number, flaw.kind, flaw.zone, flaw.gap] += flaw.on == "first"

    assert found == +wanted
    assert len(rows) > 900


def test_the_rates_name_the_gap_that_drifts(db):
    block = widths(db, (0, NOW), {}, outline.builtin(), UTC)

    assert block is not None
    assert block.sentence.startswith(f"{key.DRIFTS}: the gap sliding door to rear panel, left side grows by")
    assert block.lines[0].line.low <= key.DRIFT_WEEKLY / 10 <= block.lines[0].line.high


def test_the_rates_of_the_store_are_those_of_the_key(db, units):
    """Nibs on all vans but those of the booth and of the new inspector's first weeks: Garwood's interval holds the mean."""
    calm = {
        unit.build_number for unit in units
        if unit.inspector != key.NEW and not (unit.booth == key.BOOTH and key.week(unit.painted) > key.BOOTH_AFTER)
    }  # fmt: skip
    rows = db.execute(
        "SELECT u.build_number, (SELECT count(*) FROM markers m WHERE m.walk = w.id AND m.kind = 'nib') AS nibs"
        " FROM units u JOIN walks w ON w.unit = u.id WHERE w.purpose = 'first' AND w.state = 'finished'"
    ).fetchall()
    counts = [row["nibs"] for row in rows if row["build_number"] in calm]
    ends = garwood(sum(counts), len(counts), 0.999)

    assert ends.low <= key.MEANS["nib"] <= ends.high
    assert ends.high - ends.low < key.MEANS["nib"]


# ---------------------------------------------------------------- the five patterns, found in what the journal keeps

FIRST_WALKS = """
SELECT w.id, w.started_at, u.make, p.name AS inspector, d.booth, d.at AS painted_at
FROM walks w JOIN units u ON u.id = w.unit JOIN people p ON p.id = w.person
JOIN painted d ON d.unit = u.id AND d.part = 'front_cap'
WHERE w.purpose = 'first' AND w.state = 'finished'
"""
MADE = "SELECT walk, kind, origin, zone, gap FROM markers WHERE kind <> 'gap' OR zone = ?"
TOVE = next(person.name for person in people.everyone() if person.key == key.NEW)


@pytest.fixture(scope="module")
def walks(journal):
    """Each finished first walk: its van's make and booth, weeks of walk and painting, inspector, and its marks."""
    db, calendar = journal.read(), Calendar(now=NOW, zone=here())
    marks = {}
    for row in db.execute(MADE, (key.DRIFT_ZONE,)):
        marks.setdefault(row["walk"], []).append(row)

    def week(at: int) -> int:
        return (datetime.fromtimestamp(at / 1000, here()).date() - calendar.monday).days // 7 + 1

    rows = db.execute(FIRST_WALKS).fetchall()
    assert len(rows) == db.execute("SELECT count(DISTINCT unit) FROM walks WHERE state = 'finished'").fetchone()[0]
    return [
        SimpleNamespace(
            **dict(row), week=week(row["started_at"]), painted=week(row["painted_at"]), marks=marks.get(row["id"], []),
            weekday=datetime.fromtimestamp(row["started_at"] / 1000, here()).weekday(),
        )
        for row in rows
    ]  # fmt: skip


def learning(walk) -> bool:
    return walk.inspector == TOVE and key.NEW_FROM <= walk.week <= key.NEW_UNTIL


def told_apart(walks, where, counts) -> tuple[float, float]:
    """Rates a van where it shows and elsewhere; their exact intervals (Garwood 1936) of 95 % must lie apart."""
    sides = [walk for walk in walks if where(walk)], [walk for walk in walks if not where(walk)]
    told = [(sum(map(counts, walk.marks)) for walk in side) for side in sides]
    sums = [sum(one) for one in told]
    ends = [garwood(total, len(side), 0.95) for total, side in zip(sums, sides, strict=True)]
    assert ends[0].low > ends[1].high or ends[0].high < ends[1].low
    return sums[0] / len(sides[0]), sums[1] / len(sides[1])


def test_pattern_1_one_booths_nibs_rise(walks):
    late = [walk for walk in walks if walk.painted > key.BOOTH_AFTER and not learning(walk)]
    early = [walk for walk in walks if walk.painted <= key.BOOTH_AFTER and not learning(walk)]
    taught = [*late, *early]

    rose, other = told_apart(
        taught, lambda walk: walk in late and walk.booth == key.BOOTH, lambda mark: mark["kind"] == "nib"
    )

    assert {walk.booth for walk in walks} == set(key.BOOTHS)
    assert rose / other == pytest.approx(key.BOOTH_TIMES, rel=0.4)


def test_pattern_2_a_new_inspector_finds_less(walks):
    usual = {*key.MEANS} - {*key.MONDAY_KINDS, "nib", "gap"}

    hers, others = told_apart(walks, learning, lambda mark: mark["kind"] in usual)

    assert hers / others == pytest.approx(key.NEW_FINDS, rel=0.4)


def test_pattern_3_mondays(walks):
    taught = [walk for walk in walks if not learning(walk)]

    monday, other = told_apart(taught, lambda walk: walk.weekday == 0, lambda mark: mark["kind"] in key.MONDAY_KINDS)

    assert monday / other == pytest.approx(key.MONDAY_TIMES, rel=0.4)


@pytest.mark.parametrize(("department", "gains"), [(key.MOVED_BEFORE, False), (key.MOVED_AFTER, True)])
def test_pattern_4_a_kind_moves_from_one_department_to_another(walks, department, gains):
    after, before = told_apart(
        walks,
        lambda walk: walk.week >= key.MOVED_FROM_WEEK,
        lambda mark: mark["kind"] == key.MOVED and mark["origin"] == department,
    )

    assert (after > 1, before > 1) == (gains, not gains)


def test_pattern_5_a_gap_drifts_on_one_make_only(walks):
    def off(make: bool, weeks: range) -> list[int]:
        chosen = [walk for walk in walks if (walk.make == key.DRIFTS) is make and walk.week in weeks]
        return [mark["gap"] - 50 for walk in chosen for mark in walk.marks if mark["kind"] == "gap"]

    early, late = off(True, range(1, 14)), off(True, range(14, 28))

    assert min(len(early), len(late)) >= 3
    assert sum(late) / len(late) > sum(early) / len(early) + 5  # tenths of a millimetre
    assert all(abs(gap - 11) < 7 for gap in off(False, range(1, 28)))


def test_vans_pass_their_stations_in_the_order_of_the_line_and_nothing_is_asked_for_that(db):
    order = [
        (row["unit"], row["station"]) for row in db.execute("SELECT unit, station FROM stations_passed ORDER BY n")
    ]
    line = list(catalogue.builtin().stations)
    signed = {row["id"] for row in db.execute("SELECT id FROM units WHERE state = 'signed'")}
    passed = {}
    for unit, station in order:
        passed.setdefault(unit, []).append(station)

    assert all(stations == line[: len(stations)] for stations in passed.values())
    assert all(passed[unit] == line for unit in signed)
    assert (
        db.execute("SELECT count(*) FROM stations_passed WHERE station = 'final' AND walk IS NULL").fetchone()[0] == 0
    )
    assert not [row for row in db.execute("SELECT text FROM questions") if "has been at the van" in row["text"]]


def test_painted_parts_name_booth_sprayer_mix_and_flame(db):
    rows = db.execute("SELECT * FROM painted").fetchall()

    assert {row["part"] for row in rows if row["flame_at"] is not None} == {"front_bumper", "rear_bumper"}
    assert all(row["flame_at"] < row["at"] for row in rows if row["flame_at"] is not None)
    assert all(row["sprayer"] and row["mix"] for row in rows)


def test_chips_move_to_another_department_with_a_new_catalogue(journal, db):
    day = db.execute("SELECT at FROM events WHERE type = 'catalogue_published' ORDER BY n DESC LIMIT 1").fetchone()[
        "at"
    ]
    origins = {
        when: {row["origin"] for row in db.execute(sql, (key.MOVED, day))}
        for when, sql in (
            ("before", "SELECT origin FROM markers m JOIN walks w ON w.id = m.walk WHERE kind = ? AND made_at < ? AND w.purpose = 'first'"),
            ("after", "SELECT origin FROM markers m JOIN walks w ON w.id = m.walk WHERE kind = ? AND made_at >= ? AND w.purpose = 'first'"),
        )
    }  # fmt: skip

    assert origins == {"before": {key.MOVED_BEFORE}, "after": {key.MOVED_AFTER}}
    assert journal.catalogue().kinds[key.MOVED].origin_department == key.MOVED_AFTER
    assert catalogue.builtin().kinds[key.MOVED].origin_department == key.MOVED_BEFORE


def test_work_is_done_in_working_hours_by_whoever_may_and_cleared_by_somebody_else(db):
    by_their_own = db.execute(
        "SELECT count(*) FROM markers m JOIN work w ON w.marker = m.id AND w.person = m.decided_by WHERE m.state = 'cleared'"
    ).fetchone()[0]
    hours = {datetime.fromtimestamp(row["at"] / 1000, UTC).hour for row in db.execute("SELECT at FROM work")}

    assert by_their_own == 0
    assert len(hours) >= 2
    assert max(hours) - min(hours) <= 12


def test_photos_are_jpegs_and_the_one_after_is_another_than_the_one_before(made, db):
    store = Store(made / "photos")
    pictures = {}
    for row in db.execute("SELECT marker, role, sha, state FROM photos"):
        assert row["state"] == "stored"
        data = store.path(row["sha"], "full").read_bytes()
        pictures[row["marker"], row["role"]] = Image.open(io.BytesIO(data)).convert("L")
        assert data.startswith(b"\xff\xd8\xff")
    pairs = [marker for marker, role in pictures if role == "after"]

    assert len(pictures) >= 8
    assert pairs
    for marker in pairs:
        before, after = pictures[marker, "found"], pictures[marker, "after"]
        assert before.size == after.size == (640, 480)
        assert ImageChops.difference(before, after).getbbox() is not None


def test_older_sheets_are_a_stand_in_that_says_so_and_the_newest_are_left_to_the_server(made, db):
    from pypdf import PdfReader

    states = Counter(row["state"] for row in db.execute("SELECT state FROM sheets"))
    page = PdfReader(made / "sheets" / f"{db.execute('SELECT a4 FROM sheets WHERE a4 IS NOT NULL').fetchone()[0]}.pdf")

    assert states["issued"] > 20
    assert 0 < states["making"] <= 8
    assert "stand-in" in page.pages[0].extract_text()


def test_copies_make_a_large_store_whose_rates_are_those_of_the_small_one(made, db, tmp_path):
    with contextlib.closing(sqlite3.connect(tmp_path / "lampwalk.db")) as copy:
        db.backup(copy)
    signed, flaws = db.execute(
        "SELECT count(DISTINCT u.id), count(m.id) FROM units u JOIN markers m ON m.unit = u.id WHERE u.state = 'signed'"
    ).fetchone()

    grown = grow.grow(tmp_path, 4)

    assert grown == db.execute("SELECT count(*) FROM markers").fetchone()[0] + 3 * flaws
    with contextlib.closing(sqlite3.connect(tmp_path / "lampwalk.db")) as copy:
        rows = copy.execute(
            "SELECT count(DISTINCT u.id), count(m.id) FROM units u JOIN markers m ON m.unit = u.id WHERE u.state = 'signed'"
        ).fetchone()
    assert rows == (4 * signed, 4 * flaws)


def test_the_command_leaves_a_plant_that_is_there_alone(tmp_path, capsys):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "note").write_text("keep me")

    assert command.main([str(tmp_path / "mine"), "--scale", "2"]) == 1
    assert "not empty" in capsys.readouterr().err
    assert (tmp_path / "mine" / "note").read_text() == "keep me"


@pytest.mark.parametrize("units", ["0", "-3", "many"])
def test_the_command_names_a_number_of_vans_that_cannot_be(units, tmp_path, capsys):
    with pytest.raises(SystemExit):
        command.main([str(tmp_path / "new"), "--units", units])

    assert "must be a whole number from 1 on" in capsys.readouterr().err


def test_film_taken_twice_is_taken_with_a_reason(db):
    told = db.execute("SELECT outcome, body ->> 'reason' AS reason FROM events WHERE type = 'method_chosen'").fetchall()

    assert {(row["outcome"], row["reason"]) for row in told} == {("applied", bench.AGAIN)}


class EnoughError(Exception):
    """The first weeks are enough."""


def test_no_bench_of_the_whole_plan_is_barred_from_what_it_takes(tmp_path):
    # The plan of 480 vans once stopped here: a spot was polished for the third time without a reason.
    def said(day: int) -> None:
        if day >= 15:
            raise EnoughError

    with pytest.raises(EnoughError):
        make.build(tmp_path / "whole", NOW, photos=False, said=said)
