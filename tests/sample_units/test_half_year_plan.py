"""The plan of the half-year: the same for the same seed, and the patterns in it as large as docs/half_year.md says.

Intervals are the exact ones of Garwood (1936); so a plan that misses its own key is found, whatever its seed.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from inspect_app.rates.poisson import garwood
from inspect_app.trade import catalogue, outline, vin
from sample_units import people
from sample_units.half_year import flaws, key, patterns
from sample_units.half_year.calendar import Calendar
from sample_units.half_year.plan import plan
from tests.sample_units.test_demo import REAL

PAGE = Path(__file__).parents[2] / "docs" / "half_year.md"


@pytest.fixture(scope="module")
def units():
    return plan()


def test_the_same_seed_gives_the_same_plan_and_another_seed_another():
    assert plan(5, 30) == plan(5, 30)
    assert plan(5, 30) != plan(6, 30)


def test_the_plan_is_as_large_as_the_page_says(units):
    markers = sum(flaw.on != "escape" for unit in units for flaw in unit.flaws)

    assert len(units) == 480
    assert 12_000 <= markers <= 20_000
    assert {unit.week for unit in patterns.whole(units)} == set(range(1, 27))


def test_five_inspectors_a_dozen_technicians_several_makes_colours_and_booths(units):
    roles = Counter(role for person in people.everyone() for role in person.roles)

    assert (roles["inspector"], roles["technician"]) == (5, 12)
    assert len({unit.inspector for unit in units}) == 5
    assert len({unit.make for unit in units}) == 4
    assert len({unit.colour for unit in units}) == 8
    assert {unit.booth for unit in units} == set(key.BOOTHS)


@pytest.mark.parametrize("number", range(5))
def test_each_pattern_has_its_planned_size_and_shows(units, number):
    one = patterns.counted(units)[number]
    shown, other = (garwood(found.flaws, found.vans, 0.99) for found in (one.shown, one.other))

    assert shown.low <= one.planned <= shown.high
    assert other.low <= one.planned_other <= other.high
    assert shown.high < other.low or other.high < shown.low


def test_every_kind_falls_as_often_as_its_mean_where_no_pattern_touches_it(units):
    calm = [
        unit for unit in patterns.whole(units)
        if unit.inspector != key.NEW and unit.walked % 5 and not patterns._late_booth(unit)
    ]  # fmt: skip
    kinds = [kind for kind in key.MEANS if kind != "gap"]  # the sliding door's come on top
    missed = []
    for kind in kinds:
        found = patterns.count(calm, (kind,))
        ends = garwood(found.flaws, found.vans, 1 - 0.01 / len(kinds))
        missed += [kind] if not ends.low <= key.MEANS[kind] <= ends.high else []

    assert len(calm) > 200
    assert missed == []


def test_the_gap_of_one_make_drifts_and_no_other_does(units):
    offs = [patterns.drifted(units, weeks)[2] for weeks in patterns.BLOCKS]
    others = {"early": [], "late": []}
    for unit in patterns.whole(units):
        gaps = [flaw.gap - 50 for flaw in unit.flaws if flaw.zone == key.DRIFT_ZONE and flaw.kind == "gap"]
        if unit.make != key.DRIFTS:
            others["early" if unit.week <= 13 else "late"] += gaps
    early, late = (sum(gaps) / len(gaps) for gaps in others.values())

    assert offs == sorted(offs)
    assert offs[-1] - offs[0] > 1
    assert abs(late - early) < 2  # tenths of a millimetre


def test_the_page_holds_the_numbers_of_the_plan(units):
    page = PAGE.read_text(encoding="utf-8")

    assert [row for row in patterns.table(units) if row not in page] == []
    for number in (
        key.BOOTH_TIMES,
        key.MONDAY_TIMES,
        key.BOOTH_AFTER,
        key.NEW_FROM,
        key.NEW_UNTIL,
        key.MOVED_FROM_WEEK,
    ):
        assert re.search(rf"\b{number}\b", page)
    for share in (key.NEW_FINDS, key.LATER, key.RETURNED, key.CONCEDED, key.INCOMING, key.JUDGED, key.ESCAPES):
        assert f"{share * 100:g} of 100" in page


def test_counts_are_poisson():
    """Mean and variance of a Poisson count are the same (any textbook of statistics)."""
    lot = random.Random(3)
    drawn = [flaws.poisson(4.0, lot) for _ in range(4000)]
    mean = sum(drawn) / len(drawn)
    variance = sum((count - mean) ** 2 for count in drawn) / len(drawn)

    assert mean == pytest.approx(4.0, abs=0.13)  # four standard errors
    assert variance == pytest.approx(4.0, abs=0.4)


def test_every_flaw_lies_on_its_zone_and_every_kind_is_in_the_catalogue(units):
    drawn, kinds = outline.builtin(), catalogue.builtin().kinds
    amiss = []
    for unit in units[::12]:
        for flaw in unit.every:
            place = flaw.place
            spot = drawn.locate(place["view"], place["x"], place["y"]).id if "x" in place else place["zone"]
            if spot != flaw.zone or flaw.kind not in kinds or flaw.zone in unit.absent:
                amiss.append((unit.number, flaw))

    assert amiss == []


def test_chassis_numbers_are_well_formed_and_no_two_are_alike(units):
    assert all(vin.check_digit_holds(unit.chassis) for unit in units)
    assert len({unit.chassis for unit in units}) == len(units)


def test_no_make_or_model_is_a_real_one(units):
    names = {word.lower() for unit in units for word in f"{unit.make} {unit.model}".split()}

    assert not {sha256(name.encode()).hexdigest()[:8] for name in names} & set(REAL.split())


@pytest.mark.parametrize("now", ["2026-03-11T09:40", "2026-03-08T23:20", "2026-03-09T00:10", "2026-04-06T12:00"])
def test_week_1_begins_26_weeks_before_this_monday(now):
    zone = ZoneInfo("Europe/Warsaw")
    moment = datetime.fromisoformat(now).replace(tzinfo=zone)
    calendar = Calendar(now=round(moment.timestamp() * 1000), zone=zone)

    assert calendar.monday.weekday() == 0
    assert 0 <= (moment.date() - calendar.monday).days - 26 * 7 < 7
    assert calendar.date(key.DAYS) <= moment.date()
    assert datetime.fromtimestamp(calendar.at(7, "07:20") / 1000, UTC).astimezone(zone).strftime("%A %H:%M") == (
        "Wednesday 07:20"
    )
