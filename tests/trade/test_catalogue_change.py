"""A changed catalogue: what stays, what retires, what differs in words, what it would have judged otherwise."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import outline as outlines
from inspect_app.trade.build_options import absent_zones
from inspect_app.trade.catalogue_change import carried_on, free_key, left_out, limits_of, retired, with_limits, with_row
from inspect_app.trade.catalogue_check import located
from inspect_app.trade.catalogue_diff import changes
from inspect_app.trade.catalogue_preview import Fact, judged_otherwise, ladder
from inspect_app.trade.catalogue_rows import Limit, Option
from inspect_app.trade.limits import verdict

GOOD = catalogues.builtin()


def told(old, new) -> list[tuple[str, str, str, str]]:
    return [(one.label, one.what, one.was, one.now) for one in changes(old, new)]


def nib(**figures) -> catalogues.Catalogue:
    """The starting catalogue with other figures for nibs on class A."""
    rows = [
        replace(row, **figures) if (row.surface_class, row.paint) == ("A", None) else row
        for row in limits_of(GOOD, "nib")
    ]
    return with_limits(GOOD, "nib", rows)


# ------------------------------------------------------------------ every row of the starting catalogue holds together


@pytest.mark.parametrize("kind", GOOD.kinds.values(), ids=lambda kind: kind.key)
@pytest.mark.parametrize("material", ["metal", "plastic", "glass", "rubber"])
def test_every_kind_leads_to_departments_minutes_and_cautions(kind, material):
    method = GOOD.method(kind.method_for(material))

    assert all(GOOD.departments[step.department].takes_jobs for step in method.chain)
    assert all(step.minutes_base + step.minutes_spot > 0 for step in method.chain)
    assert method.chain
    assert GOOD.cautions_of(method.key)


@pytest.mark.parametrize("limit", GOOD.limits, ids=lambda one: f"{one.kinds[0]}-{one.surface_class}-{one.paint}")
def test_every_limit_has_a_class_and_can_fire_on_our_drawing(limit):
    zones = [
        zone
        for zone in outlines.builtin().zones
        if zone.surface_class == limit.surface_class and limit.paint in (None, zone.paint)
    ]
    assert limit.surface_class in GOOD.classes
    for kind in (GOOD.kind(key) for key in limit.kinds):
        fired = {
            verdict(GOOD, kind.key, limit.surface_class, size=size, count=count, paint=zone.paint).outcome
            for zone in zones
            for size in (kind.sizes or (None,))
            for count in (1, 99)
            if GOOD.limit(kind.key, limit.surface_class, zone.paint) is limit
        }
        assert "over" in fired or not zones, kind.key


def test_there_are_zones_of_every_class_that_limits_name_but_what_is_hidden():
    drawn = {(zone.surface_class, zone.paint) for zone in outlines.builtin().zones}

    assert {(limit.surface_class, limit.paint or "ours") for limit in GOOD.limits} - drawn == {("D", "ours")}


@pytest.mark.parametrize("surface_class", ["A", "B"])
def test_own_and_the_chassis_makers_paint_and_raking_light_each_have_starting_limits(surface_class):
    plain = verdict(GOOD, "nib", surface_class, size=8, paint="ours")
    makers = verdict(GOOD, "nib", surface_class, size=10, paint="maker")

    assert GOOD.limit("nib", surface_class, "maker").max_size > GOOD.limit("nib", surface_class, "ours").max_size
    assert GOOD.limit("nib", surface_class).raking_max_size > GOOD.limit("nib", surface_class).max_size
    assert (plain.limit.paint, makers.limit.paint) == (None, "maker")


def test_a_catalogue_from_before_paints_options_and_retiring_keeps_its_hash():
    plain = catalogues.from_json({**GOOD.to_json(), "limits": [], "options": {}}).to_json()

    assert "options" not in plain
    assert not any("retired" in row for part in ("kinds", "methods", "departments") for row in plain[part].values())


# ------------------------------------------------------------------ changing


def test_a_kind_gets_its_own_row_and_those_it_shared_with_keep_theirs():
    rows = [replace(row, max_size=8) if row.surface_class == "B" else row for row in limits_of(GOOD, "pinhole")]

    changed = with_limits(GOOD, "pinhole", rows)

    assert changed.limit("pinhole", "B").max_size == 8
    assert changed.limit("fisheye", "B") == replace(GOOD.limit("fisheye", "B"), kinds=("fisheye", "solvent_pop"))
    assert [row for row in changed.limits if "pinhole" in row.kinds and row.surface_class == "A"] == [
        row for row in GOOD.limits if "pinhole" in row.kinds and row.surface_class == "A"
    ]
    assert located(changed) == []


def test_limits_that_are_left_as_they_are_change_nothing():
    assert with_limits(GOOD, "fisheye", limits_of(GOOD, "fisheye")) == GOOD


def test_what_a_new_catalogue_leaves_out_is_kept_and_retired():
    kinds = {key: kind for key, kind in GOOD.kinds.items() if key != "swirl"}
    fewer = replace(GOOD, kinds=kinds, limits=tuple(one for one in GOOD.limits if "swirl" not in one.kinds))

    whole = carried_on(GOOD, fewer)

    assert left_out(GOOD, fewer) == {"kinds": ["swirl"]}
    assert (whole.kind("swirl").label, whole.kind("swirl").retired) == ("polishing swirls", True)
    assert left_out(GOOD, whole) == {}


def test_a_new_key_is_made_of_the_name_and_never_taken():
    assert free_key(GOOD, "departments", "Gel-Coat & Lackiererei Süd") == "gel_coat_lackiererei_sud"
    assert free_key(GOOD, "departments", "Paint") == "paint_2"
    assert free_key(GOOD, "departments", "Краска") == "own"


def test_a_retired_kind_gives_its_everyday_place_back_and_that_is_a_fault_until_it_is_filled():
    changed = retired(GOOD, "kinds", "nib")

    [fault] = located(changed)
    assert fault.sentence == "the everyday kinds must fill the places 1 to 5 once each (got 2, 3, 4, 5)"


# ------------------------------------------------------------------ what differs


def test_a_tightened_limit_is_told_in_words():
    assert told(GOOD, nib(max_size=3)) == [
        (
            "dirt nib, class A", "changed",
            "0.5 mm, at most 2 on a part; 0.8 mm when only raking light shows it",
            "0.3 mm, at most 2 on a part; 0.8 mm when only raking light shows it",
        )
    ]  # fmt: skip


def test_rows_that_come_go_and_retire_are_told():
    own = with_row(GOOD, "departments", replace(GOOD.departments["paint"], key="gel", label="Gel coat", short="Gel"))

    assert told(GOOD, own) == [("Gel coat", "new", "", "")]
    assert told(own, GOOD) == [("Gel coat", "gone", "", "")]
    assert told(GOOD, retired(GOOD, "kinds", "swirl")) == [("polishing swirls", "retired", "", "")]
    assert told(retired(GOOD, "kinds", "swirl"), GOOD) == [("polishing swirls", "back", "", "")]


def test_every_field_of_every_row_has_words():
    from dataclasses import fields

    from inspect_app.trade.catalogue_words import FIELDS, value_words

    for part in (*catalogues.KEYED, "limits"):
        rows = GOOD.limits if part == "limits" else getattr(GOOD, part).values()
        for row in rows:
            names = {one.name for one in fields(row)} - {"key", "order"}
            assert names <= set(FIELDS), part
            assert all(isinstance(value_words(GOOD, row, name), str) for name in names)
    told = {value_words(GOOD, gate, "lifted_by") for gate in GOOD.gates.values() if len(gate.lifted_by) == 2}
    assert told == {
        "inspector, technician",
        "inspector, manager",
    }  # the roles in one order, as they may stand in the file


def test_the_chain_of_a_method_is_told_step_by_step():
    method = GOOD.method("touch_in")
    longer = replace(
        method, chain=(*method.chain, replace(method.chain[0], department="polish", minutes_off=3, text="Level."))
    )

    [change] = changes(GOOD, with_row(GOOD, "methods", longer))

    assert change.now == f"{change.was} → Polish and clean: 5 min + 6 a spot (3 on a rack), Level."


# ------------------------------------------------------------------ what it would do


def test_the_past_is_held_against_a_new_limit_without_changing_it():
    facts = [
        Fact(kind="nib", surface_class="A", size=size, count=count, others=0, raking=False, paint=paint)
        for size, count, paint in [(3, 1, "ours"), (5, 1, "ours"), (5, 3, "ours"), (5, 1, "maker"), (None, 1, "ours")]
    ]

    found = judged_otherwise(GOOD, nib(max_size=3), facts)

    assert (found.n, found.of, found.over, found.within, found.else_) == (1, 5, 1, 0, 0)


def test_sizes_stand_on_either_side_of_the_limit_and_the_limit_is_among_them():
    rungs = ladder(GOOD.kind("nib"), replace(GOOD.limit("nib", "A"), max_size=6))

    assert [(rung.size, rung.over) for rung in rungs] == [
        (3, False), (5, False), (6, False), (8, True), (10, True), (15, True), (20, True),
    ]  # fmt: skip
    assert [rung.r for rung in rungs] == sorted(rung.r for rung in rungs)
    assert ladder(GOOD.kind("clip"), Limit(kinds=("clip",), surface_class="A", max_count=0, text="", origin="")) == ()


# ------------------------------------------------------------------ build options


def with_options(*options: Option) -> catalogues.Catalogue:
    return replace(GOOD, options={one.key: one for one in options})


FAN = Option(key="fan", label="roof fan", brings=("roof.fan",), origin="test")
TWIN = Option(key="twin", label="twin fans", brings=("roof.fan", "roof.fan_2"), origin="test")
PANEL = Option(key="panel", label="panel van", takes=("left.sliding_door_window",), origin="test")


@pytest.mark.parametrize(
    ("ordered", "absent"),
    [
        ([], {"roof.fan", "roof.fan_2"}),
        (["roof fan"], {"roof.fan_2"}),
        ([" ROOF  fan"], {"roof.fan_2"}),
        (["twin fans"], set()),
        (["panel van", "twin fans", "awning"], {"left.sliding_door_window"}),
    ],
)
def test_zones_follow_from_what_was_ordered(ordered, absent):
    assert absent_zones(with_options(FAN, TWIN, PANEL), ordered) == absent


def test_a_retired_option_hangs_on_nothing():
    catalogue = retired(with_options(FAN), "options", "fan")

    assert absent_zones(catalogue, []) == frozenset()


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ((replace(FAN, takes=("roof.fan",)),), "option 'fan' both brings and takes the zone 'roof.fan'"),
        (
            (FAN, replace(TWIN, label="Roof Fan")),
            "two options are called 'Roof Fan'; a list of units could mean either",
        ),
    ],
)
def test_options_that_contradict_are_faults(options, sentence):
    assert [fault.sentence for fault in located(with_options(*options))] == [sentence]
