"""What is first on a list: a published exercise, rules that hold for any list, and what cannot be put in order."""

from datetime import UTC, datetime, timedelta, timezone
from itertools import groupby
from math import inf
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.dispatch import Work, check_waits, critical_ratio, worklist

NOW = datetime(2026, 3, 14, 8, 0, tzinfo=UTC)

# A lumberyard's four orders on day 205, with the day each is due and the days of work left; the published answer is the
# order D C A B with .625, 1.0, 1.167, 1.333 (textbook exercise on dispatching rules in operations management).
LUMBERYARD = {"A": (212, 6), "B": (209, 3), "C": (208, 3), "D": (210, 8)}


def works(chosen):
    return [Work(id=name, unit=name, part="hood", due=due, hours_left=left) for name, (due, left) in chosen.items()]


def ids(told):
    return [[job.id for job in line.jobs] for line in told.lines]


def test_the_lumberyard_comes_out_as_published():
    ratios = {name: critical_ratio(due, 205, left) for name, (due, left) in LUMBERYARD.items()}

    assert ratios == pytest.approx({"A": 1.1667, "B": 1.3333, "C": 1.0, "D": 0.625}, abs=5e-5)
    told = worklist(works(LUMBERYARD), 205)
    assert ids(told) == [["D"], ["C"], ["A"], ["B"]]
    assert [line.late for line in told.lines] == [True, False, False, False]
    assert told.lines[0].why == "late: 5 h left for 8 h of work and waits (0.62)"
    assert told.lines[1].why == "in time: 3 h left for 3 h of work and waits (1.00)"


def test_what_is_late_by_a_hair_is_not_shown_as_in_time():
    (line,) = worklist(works({"A": (9.99, 10)}), 0).lines

    assert (line.late, line.why) == (True, "late: 9 h 59 min left for 10 h of work and waits (0.99)")
    (line,) = worklist(works({"A": (99.96, 100)}), 0).lines
    assert (line.late, line.why) == (True, "late: 99 h 57 min left for 100 h of work and waits (0.99)")


def test_equal_ratios_go_by_due_date():
    told = worklist(works({"later": (20, 10), "sooner": (10, 5), "past": (-4, 8), "past more": (-2, 4)}), 0)

    assert ids(told) == [["past"], ["past more"], ["sooner"], ["later"]]
    assert told.lines[0].why == "late: due 4 h ago, 8 h of work and waits left"
    (line,) = worklist(works({"long past": (-31.18, 0.2)}), 0).lines
    assert line.why == "late: due 31 h ago, 12 min of work and waits left"


def test_datetimes_are_counted_in_hours_of_the_clock():
    berlin = ZoneInfo("Europe/Berlin")

    assert critical_ratio(NOW + timedelta(days=1), NOW, 8) == 3
    assert critical_ratio((NOW + timedelta(hours=6)).replace(tzinfo=None), NOW.replace(tzinfo=None), 8) == 0.75
    assert critical_ratio(NOW.astimezone(timezone(timedelta(hours=9))), NOW, 8) == 0
    # The night of 29 March 2026 has 23 hours in the European Union (Directive 2000/84/EC: the last Sunday in March).
    assert critical_ratio(datetime(2026, 3, 29, 12, tzinfo=berlin), datetime(2026, 3, 28, 12, tzinfo=berlin), 23) == 1


def test_with_no_work_left_nothing_is_late():
    assert critical_ratio(5, 9, 0) == inf
    told = worklist(works({"done": (5, 0), "soon": (100, 1)}), 9)
    assert ids(told) == [["soon"], ["done"]]
    assert told.lines[1].why == "no work left"


@pytest.mark.parametrize(
    ("due", "now", "left", "sentence"),
    [
        (5, 1, -1, r"the work left must be zero hours or more \(got -1\)"),
        (5, 1, float("nan"), r"the work left must be zero hours or more \(got nan\)"),
        (5, 1, None, r"the work left must be zero hours or more \(got None\)"),
        (NOW.replace(tzinfo=None), NOW, 1, "one of the two times has a time zone and the other has none"),
        (NOW, 5, 1, "due and now must be two datetimes or two numbers"),
        (None, 5, 1, "due and now must be two datetimes or two numbers"),
        (inf, 5, 1, "due and now must be two datetimes or two numbers"),
        (NOW.date(), NOW, 1, "due and now must be two datetimes or two numbers"),
    ],
)
def test_what_has_no_ratio_is_said_in_a_sentence(due, now, left, sentence):
    with pytest.raises(ValueError, match=sentence):
        critical_ratio(due, now, left)


def test_jobs_on_one_part_stay_together_though_another_unit_lies_between():
    told = worklist(
        [
            Work(id="1", unit="118341", part="left door", due=10, hours_left=8),
            Work(id="2", unit="204477", part="left door", due=10, hours_left=5),
            Work(id="3", unit="118341", part="left door", due=10, hours_left=2),
            Work(id="4", unit="118341", part="bonnet", due=10, hours_left=4),
        ],
        0,
    )

    assert ids(told) == [["1", "3"], ["2"], ["4"]]
    assert told.lines[0].ratio == 1.25


def booth(number, unit, due, **more):
    return Work(**{"id": number, "unit": unit, "part": "door", "due": due, "hours_left": 10, "colour": "night blue", "bake": "60 °C", "booth": "1"} | more)  # fmt: skip


def test_booth_jobs_are_gathered_into_loads_by_colour_bake_and_booth():
    told = worklist(
        [
            booth("1", "a", 30),
            booth("2", "b", 20, colour="white"),
            booth("3", "c", 8),
            booth("4", "d", 9, bake="air dry"),
            booth("5", "e", 25, colour="white", booth="2"),
            Work(id="6", unit="c", part="door", due=8, hours_left=10),
            Work(id="7", unit="f", part="door", due=15, hours_left=10),
        ],
        0,
    )

    assert ids(told) == [["3", "6", "1"], ["4"], ["7"], ["2"], ["5"]]
    assert [line.load for line in told.lines] == [
        ("night blue", "60 °C", "1"),
        ("night blue", "air dry", "1"),
        None,
        ("white", "60 °C", "1"),
        ("white", "60 °C", "2"),
    ]
    assert told.lines[0].ratio == 0.8


def test_a_pin_comes_first_with_who_put_it_there_and_pulls_its_load_along():
    told = worklist(
        [
            booth("1", "a", 30),
            booth("2", "b", 90, pinned=2, pinned_by="Mara"),
            Work(id="3", unit="c", part="door", due=1, hours_left=10),
            Work(id="4", unit="d", part="door", due=99, hours_left=1, pinned=1, pinned_by="Per"),
        ],
        0,
    )

    assert ids(told) == [["4"], ["2", "1"], ["3"]]
    assert told.lines[0].why == "put first by Per; in time: 99 h left for 1 h of work and waits (99.00)"
    assert told.lines[1].why.startswith("put first by Mara; in time: 30 h left")


def test_what_waits_stands_apart_with_what_it_waits_for():
    told = worklist(
        [
            Work(id="1", unit="a", part="door", due=5, hours_left=1),
            Work(id="2", unit="a", part="sill", due=5, hours_left=1, waits_for=("1", "long done")),
            Work(id="3", unit="b", part="sill", due=3, hours_left=1, lacking="new clips"),
            Work(id="4", unit="c", part="sill", hours_left=1, waits_for=("long done",)),
        ],
        0,
    )

    assert ids(told) == [["1"], ["4"]]
    assert [(job.id, words) for job, words in told.waiting] == [("3", "new clips"), ("2", "“1” on the door")]
    assert told.lines[1].why == "no due date"


def test_a_ring_of_waits_is_named():
    with pytest.raises(ValueError, match=r"^'(\w)' waits for '(\w)' waits for '\1': none of them can begin; end one"):
        check_waits({"a": ["b"], "b": ["a"], "c": []})
    with pytest.raises(ValueError, match="waits for"):
        worklist([Work(id="1", unit="a", part="d", hours_left=1, waits_for=("1",))], 0)


def test_one_id_twice_is_named():
    with pytest.raises(ValueError, match=r"^the job 'D' is in the list twice; keep one of them$"):
        worklist([*works(LUMBERYARD), *works({"D": (1, 1)})], 0)


JOBS = st.lists(
    st.builds(
        Work,
        id=st.uuids().map(str),
        unit=st.sampled_from("abc"),
        part=st.sampled_from(["door", "sill"]),
        due=st.none() | st.integers(-20, 60),
        hours_left=st.integers(0, 12),
        colour=st.sampled_from(["white", "blue"]),
        bake=st.just("60 °C"),
        booth=st.sampled_from([None, "1", "2"]),
        pinned=st.sampled_from([None, None, None, 1, 2]),
        lacking=st.sampled_from([None, None, "clips"]),
    ),
    max_size=12,
)


@given(JOBS, st.randoms(use_true_random=False))
def test_rules_that_hold_for_any_list(jobs, chance):
    told = worklist(jobs, 0)
    flat = [job for line in told.lines for job in line.jobs]

    assert sorted(job.id for job in [*flat, *(job for job, _ in told.waiting)]) == sorted(job.id for job in jobs)
    shuffled = list(jobs)
    chance.shuffle(shuffled)
    assert worklist(shuffled, 0) == told
    unpinned = [line.ratio for line in told.lines if all(job.pinned is None for job in line.jobs)]
    assert unpinned == sorted(unpinned)
    assert all(line.late == (line.ratio < 1) == line.why.split("; ")[-1].startswith("late") for line in told.lines)
    pins = [any(job.pinned for job in line.jobs) for line in told.lines]
    assert pins == sorted(pins, reverse=True)
    loads = [line.load for line in told.lines if line.load]
    assert len(loads) == len(set(loads))
    for line in told.lines:
        places = [(job.unit, job.part) for job in line.jobs]
        assert len([place for place, _ in groupby(places)]) == len(set(places))
