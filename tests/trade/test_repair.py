"""The cheapest choice of spot repair and refinish against trying all of them, and against SciPy's own maximum flow."""

import random
import re
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.trade.repair import cheapest_plan

NAMES = "abcdefghijkl"


def minutes_of(parts, joints, refinish):
    own = [pair[part in refinish] for part, pair in parts.items()]
    if None in own:
        return None
    return sum(own) + sum(blend for one, other, blend in joints if (one in refinish) != (other in refinish))


def by_trying_all(parts, joints):
    """All choices with their minutes, the cheapest first, of those the ones that refinish least."""
    tried = []
    for picks in product([False, True], repeat=len(parts)):
        refinish = frozenset(part for part, pick in zip(parts, picks, strict=True) if pick)
        minutes = minutes_of(parts, joints, refinish)
        if minutes is not None:
            tried.append((minutes, len(refinish), refinish))
    return sorted(tried, key=lambda one: one[:2])


@st.composite
def jobs(draw, minutes, largest=7):
    names = NAMES[: draw(st.integers(0, largest))]
    pair = st.tuples(minutes, minutes) | st.tuples(st.none(), minutes) | st.tuples(minutes, st.none())
    parts = {name: draw(pair) for name in names}
    if len(names) < 2:
        return parts, []
    name = st.sampled_from(names)
    return parts, draw(st.lists(st.tuples(name, name, minutes), max_size=14))


@given(jobs(st.integers(0, 12)))
@settings(max_examples=300, deadline=None)
def test_no_choice_is_cheaper_and_none_as_cheap_refinishes_less(job):
    chosen = cheapest_plan(*job)

    best, fewest, refinish = by_trying_all(*job)[0]
    assert chosen.minutes == best
    assert type(chosen.minutes) is int
    assert (len(chosen.refinish), chosen.refinish) == (fewest, refinish)


@pytest.mark.parametrize("seed", range(6))
def test_no_choice_among_twelve_parts_is_cheaper(seed):
    chance = random.Random(seed)
    parts = {name: (chance.randint(0, 60), chance.randint(20, 80)) for name in NAMES}
    joints = [(*chance.sample(NAMES, 2), chance.randint(0, 30)) for _ in range(20)]

    chosen = cheapest_plan(parts, joints)

    assert (chosen.minutes, len(chosen.refinish)) == by_trying_all(parts, joints)[0][:2]


# Hypothesis' own fractions with a largest denominator take longer to draw than to try out.
UP_TO_50 = st.tuples(st.integers(0, 3000), st.integers(1, 60)).map(
    lambda two: Fraction(two[0] % (50 * two[1] + 1), two[1])
)


@given(jobs(UP_TO_50, largest=5))
@settings(deadline=None)
def test_fractions_come_out_exact(job):
    assert cheapest_plan(*job).minutes == by_trying_all(*job)[0][0]


@given(jobs(st.floats(0, 50, allow_subnormal=False), largest=5))
@settings(deadline=None)
def test_floats_are_summed_as_they_are_written(job):
    assert cheapest_plan(*job).minutes == pytest.approx(by_trying_all(*job)[0][0], rel=1e-12, abs=1e-12)


def test_a_tenth_is_a_tenth_and_huge_minutes_are_not_cut_off():
    # In binary 0.1 + 0.2 is more than 0.3; on paper it is a tie, and a tie leaves the part as it is.
    tie = cheapest_plan({"wing": (0.3, 0.1), "door": (1, 5)}, [("wing", "door", 0.2)])
    large = cheapest_plan({"wing": (2**70, 2**70 - 1), "door": (0, 2**80)}, [("wing", "door", 2)])

    assert (tie.minutes, tie.refinish) == (1.3, frozenset())
    assert (large.minutes, large.refinish) == (2**70, frozenset())
    assert cheapest_plan({"wing": (Decimal("0.1"), Fraction(1, 3))}).minutes == 0.1
    assert cheapest_plan({"wing": (Fraction(1, 2), Fraction(1, 3))}).minutes == Fraction(1, 3)


@pytest.mark.parametrize("seed", range(4))
def test_two_hundred_parts_cost_what_scipy_finds(seed):
    import numpy as np
    from scipy.sparse import csr_array  # takes half a second to load
    from scipy.sparse.csgraph import maximum_flow

    # Maximum flow equals minimum cut (Ford and Fulkerson 1956); the flow is SciPy's, by another algorithm (Dinic).
    chance = random.Random(seed)
    parts = {f"part {n}": (chance.randint(10, 200), chance.randint(50, 250)) for n in range(200)}
    joints = [(*chance.sample(list(parts), 2), chance.randint(5, 70)) for _ in range(500)]
    place = {part: number for number, part in enumerate(parts, 2)}
    rows = [(0, place[p], s) for p, (s, _) in parts.items()] + [(place[p], 1, r) for p, (_, r) in parts.items()]
    rows += [(place[a], place[b], m) for a, b, m in joints] + [(place[b], place[a], m) for a, b, m in joints]
    froms, tos, minutes = (np.array(column, dtype=np.int32) for column in zip(*rows, strict=True))
    flow = maximum_flow(csr_array((minutes, (froms, tos)), shape=(202, 202)), 0, 1).flow_value

    chosen = cheapest_plan(parts, joints)

    assert chosen.minutes == flow == minutes_of(parts, joints, chosen.refinish)


def test_the_order_of_parts_and_joints_decides_nothing():
    parts = dict.fromkeys(NAMES, (10, 10)) | {"a": (None, 20), "l": (None, 20)}
    joints = [(one, other, 10) for one, other in pairwise(NAMES)]

    there = cheapest_plan(parts, joints)
    back = cheapest_plan(dict(reversed(parts.items())), [(b, a, m) for a, b, m in reversed(joints)])

    assert there == back


def test_one_part_drags_its_neighbour_along_when_blending_costs_more():
    # By hand: door alone 90 + blend 60 = 150 with the wing's 20 = 170; both 90 + 70 = 160.
    parts = {"door": (None, 90), "wing": (20, 70)}

    assert cheapest_plan(parts, [("door", "wing", 60)]).refinish == {"door", "wing"}
    assert cheapest_plan(parts, [("door", "wing", 60)]).minutes == 160
    assert cheapest_plan(parts, [("door", "wing", 40)]).refinish == {"door"}
    assert cheapest_plan({}, []).minutes == 0


@pytest.mark.parametrize(
    ("parts", "joints", "sentence"),
    [
        ({"door": (-1, 5)}, [], "the minutes for the spot repair of 'door' are below zero (got -1); give zero or more"),
        ({"door": (1, -5)}, [], "the minutes for the refinish of 'door' are below zero (got -5); give zero or more"),
        ({"door": (None, None)}, [], "'door' can neither be spot repaired nor refinished; open one of the two"),
        ({"door": (float("nan"), 5)}, [], "the minutes for the spot repair of 'door' must be a number (got nan)"),
        ({"door": (1, float("inf"))}, [], "the minutes for the refinish of 'door' must be a number (got inf)"),
        ({"door": ("1", 5)}, [], "the minutes for the spot repair of 'door' must be a number (got '1')"),
        ({"door": 7}, [], "'door' needs two figures: minutes for its spots and minutes to refinish it"),
        (
            {"door": (1, 5)},
            [("door", "wing", 3)],
            "the joint of 'door' and 'wing' names 'wing', which is not among the parts",
        ),
        (
            {"door": (1, 5), "wing": (1, 5)},
            [("door", "wing", -3)],
            "the minutes for the blend between 'door' and 'wing' are below zero (got -3); give zero or more",
        ),
        (
            {"door": (1, 5), "wing": (1, 5)},
            [("door", "wing", None)],
            "the minutes for the blend between 'door' and 'wing' must be a number (got None)",
        ),
        ({"door": (1, 5)}, [("door",)], "a joint needs two parts and its minutes to blend (got ('door',))"),
    ],
)
def test_what_cannot_be_planned_is_said_in_one_sentence(parts, joints, sentence):
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        cheapest_plan(parts, joints)
