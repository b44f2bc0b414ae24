"""The drawing of the built-in van: zones tile its skin, right mirrors left, and the file is what the script draws."""

from itertools import combinations

import pytest
from shapely import Polygon, unary_union

from inspect_app.trade import outline
from inspect_app.trade.outline_model import part_label
from inspect_app.trade.outline_parts import polygon
from inspect_app.trade.outline_path import flatten
from sample_units.outline_van.__main__ import drawn

VAN = outline.builtin()
DRAWN = {view.id: view for view in VAN.views if not view.listed}


def base(view):
    return [zone for zone in DRAWN[view].zones if not zone.overlay]


@pytest.mark.parametrize("view", DRAWN)
def test_no_two_base_zones_overlap(view):
    for one, other in combinations(base(view), 2):
        shared = polygon(one).intersection(polygon(other))
        assert shared.buffer(-0.5).is_empty, (one.id, other.id)


@pytest.mark.parametrize("view", DRAWN)
def test_base_zones_leave_no_hole(view):
    skin = unary_union([polygon(zone).buffer(0.2) for zone in base(view)])

    assert isinstance(skin, Polygon)
    assert list(skin.interiors) == []


@pytest.mark.parametrize("view", ["left", "right", "front", "rear"])
def test_base_zones_cover_the_body_as_drawn(view):
    bodies = [Polygon(line) for art in DRAWN[view].art if art.kind == "body" for line in flatten(art.path)]
    skin = max(bodies, key=lambda body: body.area)
    zones = unary_union([polygon(zone) for zone in base(view)])

    assert skin.difference(zones.buffer(2.5)).is_empty
    assert zones.difference(skin.buffer(2.5)).is_empty


def test_the_right_side_is_the_left_one_turned_over():
    width = DRAWN["left"].width
    for zone in DRAWN["left"].zones:
        twin = VAN.zone(zone.id.replace("left.", "right.", 1))
        turned = Polygon([(width - x, y) for x, y in zone.rings[0].points])
        assert turned.symmetric_difference(polygon(twin)).area < 1
        assert (twin.surface_class, twin.laps, twin.paint) == (zone.surface_class, zone.laps, zone.paint)
        assert twin.part == zone.part.replace("_left", "_right")


@pytest.mark.parametrize("view", ["front", "rear"])
def test_both_halves_of_an_end_mirror_each_other(view):
    width = DRAWN[view].width
    for zone in base(view):
        other = zone.id.replace("left", "@").replace("right", "left").replace("@", "right")
        turned = Polygon([(width - x, y) for x, y in zone.rings[0].points])
        assert turned.symmetric_difference(polygon(VAN.zone(other))).area < 1


def test_left_is_left_from_the_drivers_seat():
    centre = {
        zone: polygon(VAN.zone(zone)).centroid
        for zone in (
            "front.headlamp_left",
            "rear.pillar_left",
            "roof.gutter_left",
            "front.bonnet",
            "rear.bumper",
            "roof.front_cap",
        )
    }

    assert centre["front.headlamp_left"].x > centre["front.bonnet"].x
    assert centre["rear.pillar_left"].x < centre["rear.bumper"].x
    assert centre["roof.gutter_left"].y > centre["roof.front_cap"].y


def test_classes_follow_the_height_above_the_ground():
    ground = 2800  # mm on the paper of the side views
    for zone in DRAWN["left"].zones:
        ring = zone.rings[0]
        if ground - ring.bottom > 2150:
            assert zone.surface_class == "C"  # above 2.2 m: C; common practice, no source
        if zone.surface_class == "A" and zone.part != "rear_pillar_left":
            assert ground - ring.top < 2200


def test_painted_trims_are_the_shops_and_glass_is_nobodys():
    for zone in VAN.zones:
        if zone.part.startswith(
            ("moulding_cab", "front_bumper", "front_arch", "rear_arch", "sill", "storage_door", "mirror")
        ):
            assert zone.paint == "ours", zone.id
        if zone.material in ("glass", "rubber"):
            assert zone.paint == "none", zone.id


def test_every_panel_is_walked_under_the_lamp_and_every_glass_in_its_own_lap():
    for zone in VAN.zones:
        if not zone.overlay and zone.material != "glass" and zone.view != "inside":
            assert "lamp" in zone.laps, zone.id
        if zone.material == "glass":
            assert zone.laps == ("seal",), zone.id


def test_a_zone_without_a_look_of_its_own_lies_on_a_panel():
    fittings = [zone for zone in VAN.zones if not zone.laps]

    assert fittings
    assert all(zone.overlay for zone in fittings)
    assert VAN.panel_of("left.cab_door_handle").id == "left.cab_door_lower"
    assert all(VAN.panel_of(zone.id).laps for zone in fittings)


def test_labels_are_plain_and_each_occurs_once():
    labels = [zone.label for zone in VAN.zones]

    assert len(labels) == len(set(labels))
    assert part_label("cab_door_left") == "left cab door"
    assert part_label("a_pillar_right") == "right A-pillar"


def test_the_file_is_what_the_script_draws():
    assert drawn().hash == VAN.hash


def test_reading_what_was_written_changes_nothing():
    again = outline.load(VAN.to_svg())

    assert again.hash == VAN.hash
    assert again.to_json() == VAN.to_json()
