"""Path data as numbers, judged by geometry itself, by numpy and by svglib's own reader of arcs and quadratics."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, hausdorff_distance

from inspect_app.trade.outline_path import PathError, flatten, parse_path, to_curves, write_path

places = st.floats(-3000, 3000, allow_nan=False).map(lambda v: round(v, 2))
points = st.tuples(places, places)


@given(start=points, one=points, two=points, end=points)
def test_a_flattened_cubic_stays_within_the_tolerance(start, one, two, end):
    t = np.linspace(0, 1, 2001)[:, None]
    p = [np.array(q) for q in (start, one, two, end)]
    dense = (1 - t) ** 3 * p[0] + 3 * (1 - t) ** 2 * t * p[1] + 3 * (1 - t) * t**2 * p[2] + t**3 * p[3]

    flat = flatten(f"M {start[0]} {start[1]} C {one[0]} {one[1]} {two[0]} {two[1]} {end[0]} {end[1]}")[0]

    flat = flat if len(flat) > 1 else [*flat, *flat]
    assert max(LineString(flat).distance(_point(q)) for q in dense[::20]) <= 2.05


def _point(xy):
    return LineString([xy, xy])


@given(start=points, one=points, two=points, end=points)
def test_a_curve_flattens_to_the_same_points_from_either_end(start, one, two, end):
    there = flatten(f"M {_xy(start)} C {_xy(one)} {_xy(two)} {_xy(end)}")[0]
    back = flatten(f"M {_xy(end)} C {_xy(two)} {_xy(one)} {_xy(start)}")[0]

    assert len(there) == len(back)
    assert np.allclose(there, back[::-1], atol=0.011)  # points are kept to a hundredth of a millimetre


def _xy(point):
    return f"{point[0]} {point[1]}"


arcs = {
    "rx": st.floats(5, 900),
    "ry": st.floats(5, 900),
    "turn": st.floats(-180, 180),
    "first": st.floats(0, 360),
    "span": st.floats(20, 340) | st.floats(-340, -20),
}


def _ellipse(rx, ry, turn, angle):
    a, t = math.radians(angle), math.radians(turn)
    x, y = rx * math.cos(a), ry * math.sin(a)
    return math.cos(t) * x - math.sin(t) * y, math.sin(t) * x + math.cos(t) * y


@given(**arcs)
def test_an_arc_follows_the_ellipse_it_was_cut_from(rx, ry, turn, first, span):
    start, end = (_ellipse(rx, ry, turn, angle) for angle in (first, first + span))
    d = f"M {_xy(start)} A {rx} {ry} {turn} {int(abs(span) > 180)} {int(span > 0)} {_xy(end)}"
    truth = LineString([_ellipse(rx, ry, turn, first + span * i / 2000) for i in range(2001)])

    flat = flatten(d, tolerance=0.5)[0]

    # A cubic for a quarter of a circle is off by 0.027 % of its radius (a known bound, from memory).
    assert hausdorff_distance(LineString(flat), truth) <= 0.5 + 0.0003 * max(rx, ry) + 0.02


@given(**arcs)
def test_an_arc_ends_where_svglib_ends_it_and_bends_the_same_way(rx, ry, turn, first, span):
    from svglib.utils import bezier_arc_from_end_points

    start, end = (_ellipse(rx, ry, turn, angle) for angle in (first, first + span))
    large, sweep = int(abs(span) > 180), int(span > 0)
    theirs = bezier_arc_from_end_points(*start, rx, ry, turn, large, sweep, *end)
    middle = LineString([p for x1, y1, *c in theirs for p in ((x1, y1), (c[-2], c[-1]))])

    ours = flatten(f"M {_xy(start)} A {rx} {ry} {turn} {large} {sweep} {_xy(end)}", tolerance=0.5)[0]

    line = LineString(ours)
    assert math.dist(ours[-1], end) < 1e-6
    assert all(line.distance(_point(p)) < 0.6 + 0.0003 * max(rx, ry) for p in middle.coords)


def test_a_quadratic_becomes_the_cubic_that_svglib_makes_of_it():
    ours = to_curves("M 10 20 Q 40 90 100 30")[1]

    from svglib.utils import convert_quadratic_to_cubic_path

    theirs = convert_quadratic_to_cubic_path((10, 20), (40, 90), (100, 30))
    assert ours[1:] == pytest.approx([value for point in theirs[1:] for value in point])


@pytest.mark.parametrize(
    "d", ["M 0 0 L 10 -2.5 30 4 H 7 V -8 Z", "M 1 2 C 1 2 3 4 5 6 S 1 1 2 2 Q 1 1 3 3", "M 0 0 A 5 4 30 0 1 10 10 Z"]
)
def test_path_data_as_most_programs_write_it_is_read_as_any_other(d):
    assert parse_path(d) == parse_path(d.replace(" ", "  \n")) == parse_path(f" {d}")


def test_every_command_ends_where_it_says():
    d = "M 0 0 L 10 0 H 20 V 10 C 20 20 30 20 30 10 S 40 0 40 10 Q 50 10 50 20 A 5 5 0 0 1 40 20 Z"
    ends = [curve[-2:] for curve in to_curves(d) if curve[0] != "Z"]

    assert [e for e in ends if e in {(10, 0), (20, 0), (20, 10), (30, 10), (40, 10), (50, 20), (40, 20)}] == [
        (10, 0),
        (20, 0),
        (20, 10),
        (30, 10),
        (40, 10),
        (50, 20),
        (40, 20),
    ]


def test_a_smooth_cubic_mirrors_the_handle_before_it():
    plain = to_curves("M 0 0 C 0 10 10 10 10 0 C 10 -10 20 -10 20 0")

    assert to_curves("M 0 0 C 0 10 10 10 10 0 S 20 -10 20 0") == plain


def test_pairs_after_a_move_are_lines():
    assert [c.letter for c in parse_path("M0 0 10 0,10-5z".replace("z", "Z"))] == ["M", "L", "L", "Z"]


def test_written_paths_read_back_the_same():
    commands = parse_path("M 0.5 -0.001 C 1 2 3 4 5.25 6 A 5 5 0 0 1 40 20 H 3 Z")

    written = write_path(commands)

    assert written == "M 0.5 0 C 1 2 3 4 5.25 6 A 5 5 0 0 1 40 20 H 3 Z"
    assert write_path(parse_path(written)) == written


@pytest.mark.parametrize(
    ("d", "says"),
    [
        ("m 0 0 L 1 1", "'m', which is relative"),
        ("M 0 0 T 1 1", "'T', which is not one of"),
        ("M 0 0 L 1", "gives L 1 numbers; it takes 2"),
        ("L 0 0", "begin with M"),
        ("3 4", "begin with M"),
        ("M 0 0 L 5 5 Z L 3 3", "begin with M"),
        ("M 0 0 L 5 5 Z 3", "has numbers after Z"),
        ("M 0 0 L 1e9 0", "beyond 100000 mm"),
        ("M 0 0 L nan 0", "uses 'n'"),
        ("M 0 0 L 1 1 #", "'#'"),
    ],
)
def test_unusual_path_data_is_refused_in_words(d, says):
    with pytest.raises(PathError, match=says):
        parse_path(d)
