"""Paths on their way to the browser: shorter, and not a hundredth of a millimetre elsewhere. Read back by svglib."""

from io import StringIO
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svglib.svglib import svg2rlg

from inspect_app.trade import outline
from inspect_app.trade.outline_json import for_browser
from inspect_app.trade.outline_path import flatten, parse_path, to_curves
from inspect_app.trade.outline_short import mirrored, settled, short

VAN = outline.builtin()
PATHS = [one.path for view in VAN.views for one in (*view.art, *view.zones, *view.joints) if one.path]

numbers = st.integers(-300_000, 900_000).map(lambda n: n / 100)
pairs = st.tuples(numbers, numbers)


def said(letter: str, *points: tuple[float, float]) -> str:
    return " ".join([letter, *(f"{n:.2f}" for point in points for n in point)])


steps = st.one_of(
    st.builds(lambda p: said("L", p), pairs),
    st.builds(lambda n: f"H {n:.2f}", numbers),
    st.builds(lambda n: f"V {n:.2f}", numbers),
    st.builds(lambda a, b, c: said("C", a, b, c), pairs, pairs, pairs),
)
subpaths = st.builds(
    lambda start, drawn, end: " ".join([said("M", start), *drawn, *end]),
    pairs, st.lists(steps, min_size=1, max_size=6), st.sampled_from([(), ("Z",)]),
)  # fmt: skip
paths = st.lists(subpaths, min_size=1, max_size=3).map(" ".join)


def drawn_by_svglib(d: str) -> tuple[list[int], list[float]]:
    """The operators and absolute points that svglib makes of path data."""
    found: list[Any] = [svg2rlg(StringIO(f'<svg xmlns="http://www.w3.org/2000/svg"><path d="{d}"/></svg>'))]
    while found:
        shape = found.pop()
        if hasattr(shape, "operators"):
            return list(shape.operators), [float(n) for n in shape.points]
        found += getattr(shape, "contents", ())
    raise AssertionError(f"svglib draws nothing of {d!r}")


@given(d=paths)
def test_a_short_path_draws_what_the_long_one_did(d):
    commands = parse_path(d)

    operators, points = drawn_by_svglib(short(commands))

    expected = drawn_by_svglib(d)
    assert operators == expected[0]
    assert points == pytest.approx(expected[1], abs=1e-6)


@pytest.mark.parametrize("path", PATHS[::7])
def test_the_vans_own_paths_stay_where_they_are_and_weigh_less(path):
    _, points = drawn_by_svglib(short(path))

    flat = [float(n) for _, *numbers in to_curves(path) for n in numbers]
    assert points == pytest.approx(flat, abs=1e-6)
    assert len(short(path)) < 0.85 * sum(len(f"{n} ") for command in path for n in command.numbers)


def test_curves_of_every_kind_arrive_as_cubics():
    told = short(parse_path("M 0 0 Q 50 90 100 0 S 150 90 200 0 A 60 60 0 0 1 300 80 Z"))

    assert set(told) - set("0123456789.- ") <= set("Mmlhvcz")
    assert drawn_by_svglib(told)[1][-2:] == [300, 80]


def test_a_point_off_the_grid_is_the_same_for_the_server_and_for_the_browser():
    path = parse_path("M 0.004 0.005 A 77.777 33.333 12 0 1 150.123456 44.987654 L 10.126 0 Z")

    told = [float(n) for _, *numbers in to_curves(settled_again(path)) for n in numbers]

    assert told == [float(n) for _, *numbers in settled(path) for n in numbers]


def settled_again(path):
    """What someone reads who is only sent the short form, written out absolute by svglib."""
    operators, points = drawn_by_svglib(short(path))
    counts, words, at = {0: ("M", 2), 1: ("L", 2), 2: ("C", 6), 3: ("Z", 0)}, [], 0
    for operator in operators:
        letter, count = counts[operator]
        words += [letter, *(f"{n:.2f}" for n in points[at : at + count])]
        at += count
    return parse_path(" ".join(words))


def test_the_right_side_is_the_left_one_in_a_mirror_and_is_not_sent_twice():
    left, right = ({view["id"]: view for view in VAN.to_json()["views"]}[side] for side in ("left", "right"))

    assert (right["art"], right["mirror"]) == ([], "left")
    assert len(left["art"]) > 50
    turned = [[(c, *numbers) for c, *numbers in mirrored(art.path, left["width"])] for art in VAN.view("left").art]
    assert turned == [[(c, *numbers) for c, *numbers in settled(art.path)] for art in VAN.view("right").art]


def test_a_side_with_one_line_of_its_own_is_sent_whole():
    left, right = VAN.view("left"), VAN.view("right")
    other = {**vars(right), "art": (*right.art[:-1], left.art[0])}

    told = for_browser([left, type(right)(**other)], [])

    assert "mirror" not in told["views"][1]
    assert len(told["views"][1]["art"]) == len(right.art)


def test_a_ring_is_made_of_what_the_browser_is_told():
    zone = VAN.zone("left.flap")

    assert list(zone.rings[0].points) == flatten(zone.d)[0][:-1]
