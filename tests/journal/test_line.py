"""Along the line: stations passed, what was found before its maker's station, and how a part was painted."""

from __future__ import annotations

import pytest

from inspect_app.journal.events import Refusal
from inspect_app.journal.verify import verify
from inspect_app.trade.catalogue import builtin
from inspect_app.trade.stations import furthest, not_yet, stands_at

DOOR = "left.sliding_door_lower"
PART = "sliding_door_left"


def passed(plant, unit: str, station: str, **more):
    return plant.per.online(unit, "station_passed", {"station": station, **more})


def test_a_van_stands_at_the_station_after_the_last_it_has_passed():
    found = builtin()

    assert list(found.stations) == ["paint", "floor", "exterior", "finish", "final"]
    assert [stands_at(found, key) for key in (None, "paint", "exterior", "final")] == [None, "floor", "finish", "final"]
    assert furthest(found, "exterior", "paint", None) == "exterior"
    assert furthest(found, None) is None


@pytest.mark.parametrize(
    ("department", "found_at", "later"),
    [
        ("trim", "floor", "exterior"), ("trim", "exterior", None), ("trim", "final", None), ("paint", "floor", None),
        ("handling", "paint", None), ("supplier", "paint", None), ("polish", "exterior", "finish"), ("trim", None, None),
    ],
)  # fmt: skip
def test_a_department_whose_station_comes_later_cannot_have_made_it_yet(department, found_at, later):
    station = not_yet(builtin(), department, found_at)

    assert (station.key if station else None) == later


def test_every_department_stands_under_one_station_at_most():
    named = [key for station in builtin().stations.values() for key in station.departments]

    assert len(named) == len(set(named))


def test_passing_is_noted_once_a_station_with_its_walk_and_the_unit_names_the_furthest(plant):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    passed(plant, unit, "floor", walk=walk)
    passed(plant, unit, "paint")  # noted late: the van does not go back for it

    assert plant.row("units", unit)["station"] == "floor"
    assert [(row["station"], row["walk"]) for row in plant.rows("stations_passed", unit)] == [
        ("floor", walk),
        ("paint", None),
    ]
    with pytest.raises(Refusal, match="has passed this station already"):
        passed(plant, unit, "floor")


def test_an_unknown_station_and_a_walk_of_another_van_are_refused(plant):
    unit, other = plant.unit("047312"), plant.unit("118940")
    walk = plant.ines.start_walk(other)

    with pytest.raises(Refusal, match="'moon' is not a station of this plant"):
        passed(plant, unit, "moon")
    with pytest.raises(Refusal, match="does not know the walk"):
        passed(plant, unit, "paint", walk=walk)
    assert plant.rows("stations_passed", unit) == []


def test_passing_is_not_taken_from_an_outbox(plant):
    answer = plant.ines.do(plant.unit(), "station_passed", {"station": "paint"})

    assert answer.outcome == "refused"


def test_every_mark_names_the_station_it_was_found_at(plant):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    before = plant.ines.mark(unit, walk, "nib", DOOR, "B1", size=15)
    passed(plant, unit, "paint")
    after = plant.ines.mark(unit, walk, "nib", DOOR, "B2", size=15)

    assert [plant.row("markers", key)["found_at"] for key in (before, after)] == [None, "floor"]
    assert plant.rows("questions", unit) == []  # paint has been at the van


def of_department(key: str) -> str:
    """A kind that this department makes."""
    return next(kind.key for kind in builtin().kinds.values() if kind.origin_department == key and not kind.snaps)


def test_a_mark_found_before_its_makers_station_is_kept_and_asked_about_once(plant):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    passed(plant, unit, "paint")
    kind = of_department("trim")
    first = plant.ines.mark(unit, walk, kind, DOOR, "B1")
    plant.ines.mark(unit, walk, kind, DOOR, "B2")

    questions = plant.rows("questions", unit)
    assert [(row["marker"], row["cause"], row["state"]) for row in questions] == [(first, "marker_made", "open")]
    assert "before Trim has been at the van at exterior" in str(questions[0]["text"])
    assert [row["state"] for row in plant.rows("markers", unit)] == ["open", "open"]
    assert plant.row("units", unit)["questions"] == 1


def test_at_its_makers_station_and_after_nothing_is_asked(plant):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    for station in ("paint", "floor"):
        passed(plant, unit, station)
    plant.ines.mark(unit, walk, of_department("trim"), DOOR, "B1")

    assert plant.rows("questions", unit) == []


def test_a_painted_part_keeps_booth_sprayer_mix_and_times(plant):
    unit, now = plant.unit(), plant.journal.clock()
    told = {"part": PART, "booth": "Booth 2", "sprayer": plant.people["per"], "mix": "FG-0412", "flame_at": now - 90 * 60_000, "at": now - 60_000}  # fmt: skip
    plant.per.online(unit, "part_painted", told)
    plant.per.online(unit, "part_painted", {"part": PART, "booth": "Booth 1", "at": now})

    rows = plant.rows("painted", unit)
    assert {name: rows[0][name] for name in told} == told
    assert [rows[1][name] for name in ("booth", "sprayer", "mix", "flame_at")] == ["Booth 1", None, None, None]


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"part": "no_such_part"}, "has no part 'no_such_part'"),
        ({"sprayer": "00000000-0000-7000-8000-000000000001"}, "no such person"),
        ({"at": 3_600_000}, "lies in the future"),
        ({"flame_at": 3_600_000}, "the flame comes first"),
    ],
)
def test_a_painting_that_cannot_be_is_refused_with_what_to_do(plant, more, why):
    unit, now = plant.unit(), plant.journal.clock()
    late = {name: now + value for name, value in more.items() if isinstance(value, int)}

    with pytest.raises(Refusal, match=why):
        plant.per.online(unit, "part_painted", {"part": PART, "booth": "Booth 2", "at": now, **more, **late})
    assert plant.rows("painted", unit) == []


def test_rebuilding_gives_the_same_stations_paintings_and_questions(plant):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    passed(plant, unit, "paint", walk=walk)
    plant.ines.mark(unit, walk, of_department("trim"), DOOR, "B1")
    plant.per.online(unit, "part_painted", {"part": PART, "booth": "Booth 2", "at": plant.journal.clock()})

    told = verify(plant.journal.folder.path)

    assert told.clean, told.sentence
