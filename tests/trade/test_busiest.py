"""The busiest circle and square against counting by hand, against numbers of lattice points, and against each other."""

import random
import subprocess
import sys
from itertools import combinations
from math import cos, hypot, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.trade.busiest import MANY, RIM
from inspect_app.trade.limits import busiest_circle, busiest_square

WHOLE = st.integers(-20, 20)
LATTICE = st.lists(st.tuples(WHOLE, WHOLE), max_size=11)
ANYWHERE = st.lists(st.tuples(st.floats(-300, 300), st.floats(-300, 300)), max_size=11)
SIZES = st.sampled_from([0.5, 1, 5, 7.3, 10, 13, 26, 50])


def in_circle(points, centre, diameter):
    return sum(hypot(x - centre[0], y - centre[1]) <= diameter / 2 * (1 + RIM) + 1e-11 for x, y in points)


def in_square(points, centre, side):
    return sum(max(abs(x - centre[0]), abs(y - centre[1])) <= side / 2 * (1 + RIM) + 1e-11 for x, y in points)


def by_hand(points, diameter):
    """Try every circle with two of the points on its rim, and one centred on each point."""
    radius, centres = diameter / 2, list(points)
    for (ax, ay), (bx, by) in combinations(points, 2):
        apart = hypot(bx - ax, by - ay)
        if 0 < apart <= diameter * (1 + RIM):
            off = max(0.0, radius**2 - apart**2 / 4) ** 0.5 / apart
            centres += [
                ((ax + bx) / 2 + side * off * (ay - by), (ay + by) / 2 + side * off * (bx - ax)) for side in (-1, 1)
            ]
    return max((in_circle(points, centre, diameter) for centre in centres), default=0)


@given(LATTICE | ANYWHERE, SIZES)
@settings(max_examples=300, deadline=None)  # the first call imports
def test_no_circle_tried_by_hand_holds_more(points, diameter):
    count, centre = busiest_circle(points, diameter)

    assert count == by_hand(points, diameter)
    assert count == 0 or in_circle(points, centre, diameter) == count


@given(LATTICE | ANYWHERE, SIZES)
@settings(deadline=None)
def test_no_square_tried_by_hand_holds_more(points, side):
    count, centre = busiest_square(points, side)

    tried = [in_square(points, (x + side / 2, y + side / 2), side) for x, _ in points for _, y in points]
    assert count == max(tried, default=0)
    assert count == 0 or in_square(points, centre, side) == count


@given(LATTICE | ANYWHERE, SIZES)
@settings(deadline=None)
def test_a_circle_lies_in_its_square_and_the_square_in_the_circle_around_it(points, size):
    assert busiest_circle(points, size)[0] <= busiest_square(points, size)[0]
    assert busiest_square(points, size)[0] <= busiest_circle(points, size * 2**0.5)[0]


@given(LATTICE, SIZES, st.randoms(use_true_random=False))
@settings(deadline=None)
def test_order_and_place_change_nothing(points, size, chance):
    moved = [(1000 - y, x - 4000) for x, y in points]
    chance.shuffle(moved)

    assert busiest_circle(moved, size)[0] == busiest_circle(points, size)[0]
    assert busiest_square(moved, size)[0] == busiest_square(points, size)[0]


# How many whole points lie on a circle round the origin, and within it: the sum of squares function and Gauss's circle
# problem (OEIS A046109 and A000328, values for radius 5, 25, 65 and for 5, 10; from memory, and counted below once more).
@pytest.mark.parametrize(("radius", "on_the_rim"), [(5, 12), (25, 20), (65, 36)])
def test_points_on_the_rim_count(radius, on_the_rim):
    rim = [(x, y) for x in range(-radius, radius + 1) for y in range(-radius, radius + 1) if x * x + y * y == radius**2]

    assert len(rim) == on_the_rim
    count, centre = busiest_circle(rim, 2 * radius)
    assert (count, centre) == (on_the_rim, pytest.approx((0, 0), abs=1e-9))
    assert busiest_circle(rim, 2 * radius * (1 - 1e-6))[0] < on_the_rim


@pytest.mark.parametrize(("radius", "within"), [(5, 81), (10, 317)])
def test_a_circle_on_the_lattice_holds_at_least_what_gauss_counted(radius, within):
    lattice = [(x, y) for x in range(-12, 13) for y in range(-12, 13)]

    assert sum(x * x + y * y <= radius**2 for x, y in lattice) == within
    assert len(lattice) > MANY
    assert busiest_circle(lattice, 2 * radius)[0] >= within
    assert busiest_square(lattice, 2 * radius)[0] == (2 * radius + 1) ** 2


def test_points_that_only_rounding_pushes_off_the_rim_count():
    turned = [(3000 + 50 * cos(turn), 1000 + 50 * sin(turn)) for turn in (0.1, 1.3, 2.9, 4.4, 5.7)]

    assert busiest_circle(turned, 100)[0] == 5
    assert busiest_square([(0.1, 0), (0.1 + 0.2, 0), (0.3 + 0.7, 0)], 0.9)[0] == 3


@pytest.mark.parametrize("seed", range(4))
def test_many_points_are_counted_as_few_are(seed):
    # Above MANY the plane is cut into cells first; below, every rim is turned. Both must find the same.
    chance = random.Random(seed)
    crowd = [(round(chance.gauss(0, 20)), round(chance.gauss(0, 20))) for _ in range(MANY // 2)]
    far = [(10_000 + 100 * place, 0) for place in range(MANY)]

    few, many = busiest_circle(crowd, 30), busiest_circle(crowd + far, 30)

    assert few[0] == many[0] == in_circle(crowd, many[1], 30) == by_hand(crowd, 30)


def test_the_heavy_libraries_are_loaded_when_something_is_counted_and_not_before():
    modules = "limits clusters repair budget readings adhesion selectors dispatch"
    told = subprocess.run(
        [sys.executable, "-c", f"""
import sys
for name in {modules.split()!r}:
    __import__("inspect_app.trade." + name)
heavy = {{"numpy", "scipy", "shapely", "coloraide"}}
before = heavy & set(sys.modules)
sys.modules["inspect_app.trade.limits"].busiest_circle([(0, 0), (1, 1)], 5)
print(sorted(before), sorted(heavy & set(sys.modules)))
"""],
        capture_output=True, text=True, check=True,
    )  # fmt: skip

    assert told.stdout.strip() == "[] ['numpy', 'scipy', 'shapely']"


@pytest.mark.parametrize("busiest", [busiest_circle, busiest_square])
def test_none_one_and_all_the_same(busiest):
    assert busiest([], 100) == (0, None)
    assert busiest([(3, 4)], 100) == (1, (3.0, 4.0))
    assert busiest([(3, 4)] * 7, 100) == (7, (3.0, 4.0))
    assert busiest([(3, 4)] * (MANY + 7), 100) == (MANY + 7, (3.0, 4.0))


@pytest.mark.parametrize("busiest", [busiest_circle, busiest_square])
@pytest.mark.parametrize("size", [0, -1, float("nan"), float("inf"), None, "wide"])
def test_a_size_must_be_above_zero(busiest, size):
    with pytest.raises(ValueError, match=r"^the (diameter|side) must be a number above zero \(got "):
        busiest([(0, 0)], size)


@pytest.mark.parametrize("points", [[(1,)], [(1, 2, 3)], ["ab"], [None], [(float("nan"), 0)]])
def test_a_point_must_be_two_numbers(points):
    with pytest.raises(ValueError, match="each point must be two"):
        busiest_circle(points, 100)
