"""An outline by numbers: whatever numbers a van may have, its drawing is sound and shares its ids with all others.

What "sound" is comes from the outline's own strict reader and from shapely; sizes are those that were asked for.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, unary_union

from inspect_app.trade import outline, outline_numbers
from inspect_app.trade.outline_numbers import OURS, Numbers, NumbersError, make
from inspect_app.trade.outline_parts import polygon
from inspect_app.trade.outline_path import flatten
from sample_units.outline_van.__main__ import drawn

VAN = outline.builtin()
OURS_BY_ID = {zone.id: zone for zone in VAN.zones}
SLIDING = (
    "sliding_door_upper",
    "sliding_door_lower",
    "sliding_door_window",
    "sliding_door_handle",
    "moulding_sliding_door",
    "running_board",
)
FIXED = ("side_panel_upper", "side_panel_lower", "moulding_side_panel")


def _between(ends, step=10):
    low, high = ends
    return st.sampled_from(ends) | st.integers(low // step, high // step).map(lambda n: min(max(n * step, low), high))


@st.composite
def numbers(draw):
    """Numbers of any van of the family, the ends of each range more often than not."""
    roof = draw(st.sampled_from(outline_numbers.ROOFS))
    wheelbase = draw(_between(outline_numbers.WHEELBASE))
    low, high = outline_numbers.OVERHANGS
    shortest, longest = outline_numbers.LENGTH
    length = draw(_between((max(shortest, wheelbase + low), min(longest, wheelbase + high))))
    return Numbers(
        length_mm=length,
        wheelbase_mm=wheelbase,
        height_mm=draw(_between(outline_numbers.HEIGHT[roof])),
        width_mm=draw(_between(outline_numbers.WIDTH)),
        roof=roof,
        body=draw(st.sampled_from(outline_numbers.BODIES)),
        sliding_door=draw(st.sampled_from(outline_numbers.SLIDING_DOORS)),
    )


def absent(own: Numbers) -> set[str]:
    """Which zones of our own van another one has not."""
    shut = [side for side in ("left", "right") if own.sliding_door not in (side, "both")]
    gone = {f"{side}.{name}" for side in shut for name in SLIDING} | {f"openings.sliding_door_{side}" for side in shut}
    low = {f"{side}.cantrail_upper" for side in ("left", "right")} if own.height_mm < 2380 else set()
    return gone | low


def added(own: Numbers) -> set[str]:
    """Which zones it has instead."""
    return {f"{s}.{name}" for s in ("left", "right") if own.sliding_door not in (s, "both") for name in FIXED}


def base(view):
    return [zone for zone in view.zones if zone.rings and not zone.overlay]


def on(zone, views) -> float:
    """How much of an overlay lies on the base zones of its view, 0 to 1."""
    return (
        polygon(zone).intersection(unary_union([polygon(b) for b in base(views[zone.view])])).area / polygon(zone).area
    )


def under(zone, views) -> set[str]:
    """The base zones on which more than a fiftieth of an overlay lies."""
    shape = polygon(zone)
    return {b.id for b in base(views[zone.view]) if polygon(b).intersection(shape).area > 0.02 * shape.area}


def overlapping(outline_):
    """Pairs of overlays that lie on each other by more than a hair."""
    return {
        (a.id, b.id)
        for view in outline_.views
        for a, b in combinations([z for z in view.zones if z.overlay and z.rings], 2)
        if not polygon(a).intersection(polygon(b)).buffer(-1).is_empty
    }


def test_our_own_numbers_make_our_own_van_to_the_last_digit():
    assert drawn().hash == VAN.hash


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(own=numbers())
def test_any_van_of_the_family_is_drawn_soundly(own):
    made = make(own)

    can_be_published(made)
    shares_its_ids(made, own)
    has_its_size(made, own)
    overlays_lie_on_their_panels(made)
    joints_lie_along_their_parts(made)
    no_zone_is_a_sliver(made)


def can_be_published(made):
    """The strict reader takes it: zones closed, inside their views, crossing neither themselves nor each other."""
    assert outline.load(made.to_svg()).hash == made.hash


def shares_its_ids(made, own):
    """What it has of our own van goes by the same ids and means the same."""
    assert {zone.id for zone in made.zones} == set(OURS_BY_ID) - absent(own) | added(own)
    assert [zone.order for zone in made.zones] == list(range(1, len(made.zones) + 1))
    assert labels(made) <= labels(VAN) | set(outline_numbers.LABELS)
    same = ("part", "surface_class", "laps", "material", "paint", "overlay")
    for zone in made.zones:
        if zone.id in OURS_BY_ID:
            assert [getattr(zone, n) for n in same] == [getattr(VAN.zone(zone.id), n) for n in same], zone.id


def labels(drawn_) -> set[str]:
    """Everything of an outline that people read."""
    joints = {joint.label for view in drawn_.views for joint in view.joints}
    return {one.label for one in (*drawn_.views, *drawn_.zones, *drawn_.parts)} | joints


def has_its_size(made, own):
    """The drawing is as long, as high and as wide as was asked, and its wheels stand as far apart."""
    for view, across in (("left", own.length_mm), ("rear", own.width_mm), ("roof", own.length_mm)):
        bodies = [line for art in made.view(view).art if art.kind == "body" for line in flatten(art.path)]
        xs, ys = zip(*(point for line in bodies for point in line), strict=True)
        assert max(xs) - min(xs) == pytest.approx(across, abs=12), view
        if view != "roof":
            assert made.view(view).height - 60 - min(ys) == pytest.approx(own.height_mm, abs=12), view
    tyres = [flatten(art.path) for art in made.view("left").art if art.kind == "tyre"]
    boxes = [LineString(lines[0]).bounds for lines in tyres if len(lines) == 1]
    hubs = [(left + right) / 2 for left, _, right, _ in boxes]
    assert max(hubs) - min(hubs) == pytest.approx(own.wheelbase_mm, abs=1)
    assert all(right - left == pytest.approx(low - high, abs=0.5) for left, high, right, low in boxes), (
        "wheels are round"
    )


def overlays_lie_on_their_panels(made):
    """What lies on a panel of our own van lies on that panel on any, on no other, and on no other fitting."""
    views, ours = {v.id: v for v in made.views}, {v.id: v for v in VAN.views}
    for zone in made.zones:
        if zone.overlay and zone.rings:
            least = min(on(VAN.zone(zone.id), ours), 0.999) if zone.id in OURS_BY_ID else 0.999
            assert on(zone, views) >= least - 0.02, zone.id
            twin = VAN.zone(zone.id.replace("side_panel", "sliding_door"))
            panels = {one.replace("side_panel", "sliding_door") for one in under(zone, views)}
            assert panels <= under(twin, ours), (zone.id, panels - under(twin, ours))
    assert overlapping(made) <= overlapping(VAN)


def joints_lie_along_their_parts(made):
    """Each point of a joint lies on either of its parts, or in the gap beside it."""
    for joint in (joint for view in made.views for joint in view.joints):
        for part in joint.parts:
            here = [polygon(z) for z in made.zones if z.part == part and z.view == joint.view and z.rings]
            reach = unary_union(here).buffer(50 if joint.nominal >= 500 else 18)
            assert not here or all(reach.contains(Point(p)) for line in joint.lines for p in line), joint.id


def no_zone_is_a_sliver(made):
    """A finger finds every zone: none is narrower than 20 mm, none has lost four fifths of its area."""
    for zone in (zone for zone in made.zones if zone.rings):
        ring = zone.rings[0]
        # A fingertip covers 15 to 20 mm on a drawing zoomed to a hand's breadth: common practice, no source.
        assert min(ring.right - ring.left, ring.bottom - ring.top) >= 20, zone.id
        assert ring.area >= 0.2 * (VAN.zone(zone.id).rings[0].area if zone.id in OURS_BY_ID else 10_000), zone.id


def test_a_side_without_its_door_has_a_panel_in_its_place_and_the_other_side_is_as_ever():
    made = make(replace(OURS, sliding_door="left"))

    panel = unary_union([polygon(made.zone(f"right.side_panel_{name}")) for name in ("upper", "lower")])
    door = unary_union([polygon(VAN.zone(f"right.sliding_door_{name}")) for name in ("upper", "lower")])
    assert panel.symmetric_difference(door).area < 1
    assert made.part("side_panel_right").label == "right side panel"
    assert "rear_panel_right" in made.part("side_panel_right").neighbours
    assert {z.id: z.d for z in made.view("left").zones} == {z.id: z.d for z in VAN.view("left").zones}


def test_a_wide_body_has_wider_arches_and_mouldings():
    wide = make(replace(OURS, body="wide"))

    for key in (
        "left.front_arch_trim",
        "right.rear_arch_trim",
        "left.moulding_cab_door",
        "right.moulding_sliding_door",
    ):
        assert wide.zone(key).rings[0].area > 1.2 * VAN.zone(key).rings[0].area


def test_the_labels_for_translators_are_those_that_our_own_van_has_not():
    one_door = labels(make(replace(OURS, sliding_door="left"))) | labels(make(replace(OURS, sliding_door="right")))

    assert one_door - labels(VAN) == set(outline_numbers.LABELS)


def test_only_what_lies_above_2_2_m_is_a_zone_of_its_own():
    made = make(replace(OURS, roof="mid", height_mm=2500))

    lower_edge = made.view("left").height - 60 - made.zone("left.cantrail_upper").rings[0].bottom
    assert lower_edge == pytest.approx(2200, abs=30)
    assert made.zone("left.cantrail_lower").label == "left cantrail, lower"
    assert make(replace(OURS, roof="low", height_mm=2200)).zone("left.cantrail_lower").label == "left cantrail"


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"length_mm": 4000}, "length_mm", "'Length' is 4000 mm; it must be from 4800 to 7500 mm."),
        ({"width_mm": 3000}, "width_mm", "'Width' is 3000 mm; it must be from 1850 to 2300 mm."),
        ({"height_mm": 2000}, "height_mm", "'Height' is 2000 mm; with this roof it must be from 2500 to 3100 mm."),
        ({"wheelbase_mm": 6000}, "wheelbase_mm", "'Wheelbase' is 6000 mm; it must be from 3100 to 4500 mm."),
        ({"wheelbase_mm": 4400}, "wheelbase_mm", "'Wheelbase' is 4400 mm, too long for a van of 5950 mm; it can be 4200 mm"),
        ({"length_mm": 7500}, "wheelbase_mm", "'Wheelbase' is 3950 mm, too short for a van of 7500 mm; it must be 4500 mm"),
        ({"roof": "flat"}, "roof", "'Roof' is 'flat'; it must be one of low, mid, high."),
        ({"body": "box"}, "body", "'Body' is 'box'; it must be one of panel, wide."),
        ({"sliding_door": "none"}, "sliding_door", "'Sliding door' is 'none'; it must be one of left, right, both."),
    ],
)  # fmt: skip
def test_numbers_that_make_no_van_are_said_in_one_sentence(changed, field, words):
    with pytest.raises(NumbersError) as caught:
        make(replace(OURS, **changed))

    assert list(caught.value.faults) == [field]
    assert str(caught.value).startswith(words)


def test_every_number_that_is_wrong_is_said():
    with pytest.raises(NumbersError) as caught:
        make(replace(OURS, length_mm=1, height_mm=1, width_mm=1, wheelbase_mm=1, roof="", body="", sliding_door=""))

    assert len(caught.value.faults) == 7


def test_an_outline_is_called_what_the_plant_calls_it_or_by_its_size():
    assert make(OURS, "  Our long one ").label == "Our long one"
    assert make(OURS).label == "Panel van, 5950 × 2060 × 2700 mm"
    assert len(make(replace(OURS, sliding_door="right")).id) <= 40  # what the reader takes
