"""Markers: placed, judged, amended and decided."""

import pytest

from inspect_app.journal.verify import verify
from sample_units.hands import new_id


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def walk(plant, unit):
    return plant.ines.start_walk(unit)


def test_a_marker_gets_its_zone_part_class_words_limit_and_departments(plant, unit, walk):
    marker = plant.row("markers", plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=10))

    assert (marker["zone"], marker["part"], marker["class"]) == ("left.cab_door_lower", "cab_door_left", "A")
    assert marker["words"].startswith("left cab door, lower, ")
    assert (marker["verdict"], marker["origin"], marker["origin_basis"]) == ("over", "paint", "assumed")


def test_a_gap_snaps_to_the_nearest_joint_and_is_judged_by_it(plant, unit, walk):
    outline = plant.journal.outline(plant.row("units", unit)["outline"])
    joint = next(j for j in outline.view("left").joints if j.lines)
    x, y = joint.lines[0][0]
    body = {
        "marker": new_id(),
        "tag": "B1",
        "walk": walk,
        "lap": "fit",
        "kind": "gap",
        "view": "left",
        "x": round(x * 10) + 60,
        "y": round(y * 10) + 200,
    }
    plant.ines.do(unit, "marker_made", {**body, "spread": 50, "gap": joint.nominal + joint.tolerance + 1})

    marker = plant.row("markers", body["marker"])

    assert marker["joint"]
    assert marker["verdict"] == "over"
    assert outline_joint(outline, marker["joint"]).label in marker["words"]


def outline_joint(outline, key):
    return next(joint for view in outline.views for joint in view.joints if joint.id == key)


def test_a_tap_beside_the_van_is_refused_in_words(plant, unit, walk):
    body = {"marker": new_id(), "tag": "B1", "walk": walk, "kind": "nib", "view": "left", "x": -900, "y": -900}

    answer = plant.ines.do(unit, "marker_made", body)

    assert "not on the van" in answer.reason


def test_a_list_only_view_takes_its_zone_by_name(plant, unit, walk):
    body = {
        "marker": new_id(),
        "tag": "B1",
        "walk": walk,
        "kind": "nib",
        "view": "openings",
        "zone": "openings.rear_doors",
    }
    plant.ines.do(unit, "marker_made", body)

    assert plant.row("markers", body["marker"])["zone"] == "openings.rear_doors"


def test_a_tag_that_is_taken_gets_the_next_free_number(plant, unit, walk):
    letters = (
        plant.journal.read()
        .execute("SELECT letters FROM tablets WHERE id = ?", (plant.ines.tablet,))
        .fetchone()["letters"]
    )
    plant.ines.mark(unit, walk, "nib", "left.sill", f"{letters}1")
    second = plant.ines.mark(unit, walk, "nib", "left.sill", f"{letters}1")

    assert plant.row("markers", second)["tag"] == f"{letters}2"


def test_an_amended_size_is_judged_anew(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=15)
    plant.ines.do(unit, "marker_amended", {"marker": marker, "size": 3})

    row = plant.row("markers", marker)

    assert (row["size"], row["verdict"]) == (3, "within")


def test_another_kind_forgets_the_size_that_belonged_to_the_old_one(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=15)
    plant.ines.do(unit, "marker_amended", {"marker": marker, "kind": "run"})

    row = plant.row("markers", marker)

    assert (row["kind"], row["size"], row["method"]) == ("run", None, plant.journal.catalogue().kinds["run"].method)


def test_within_its_limit_a_marker_is_accepted_and_over_it_not(plant, unit, walk):
    small = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=3)
    large = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B2", size=15)

    assert plant.ines.do(unit, "marker_accepted", {"marker": small}).outcome == "applied"
    assert plant.ines.do(unit, "marker_accepted", {"marker": large}).code == "not_over"
    assert plant.row("markers", small)["state"] == "accepted"


def test_put_right_here_waits_for_a_second_person(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", severity="S4")
    plant.ines.do(unit, "put_right_here", {"marker": marker, "how": "wipe"})

    assert plant.row("markers", marker)["state"] == "reworked"
    assert plant.ines.do(unit, "marker_cleared", {"marker": marker}).code == "not_fixer"
    assert plant.lukasz.do(unit, "marker_cleared", {"marker": marker}).outcome == "applied"


@pytest.mark.parametrize("how", ["wipe", "hand_polish"])
def test_a_wipe_and_a_hand_polish_are_what_is_put_right_on_the_spot(plant, unit, walk, how):
    marker = plant.ines.mark(unit, walk, "residue", "left.cab_door_lower", "B1", severity="S4")

    assert plant.ines.do(unit, "put_right_here", {"marker": marker, "how": how}).outcome == "applied"


@pytest.mark.parametrize("how", ["wiped", "machine_polish", "touch-up", ""])
def test_anything_more_than_a_wipe_or_a_hand_polish_goes_to_rework(plant, unit, walk, how):
    marker = plant.ines.mark(unit, walk, "residue", "left.cab_door_lower", "B1", severity="S4")
    answer = plant.ines.do(unit, "put_right_here", {"marker": marker, "how": how})

    assert (answer.outcome, answer.code) == ("refused", "malformed")
    assert answer.reason == (
        f"'how' in put_right_here: only 'wipe' and 'hand_polish' are done on the spot; send anything more to rework (got \"{how}\")."
    )
    assert plant.row("markers", marker)["state"] == "open"


def test_an_amendment_after_clearing_is_flagged_and_asked_about(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", severity="S4")
    plant.ines.do(unit, "put_right_here", {"marker": marker, "how": "wipe"})
    plant.lukasz.do(unit, "marker_cleared", {"marker": marker})

    answer = plant.ines.do(unit, "marker_amended", {"marker": marker, "size": 20})

    assert answer.outcome == "flagged"
    assert plant.row("markers", marker)["size"] is None
    assert [question["cause"] for question in plant.rows("questions", unit)] == ["marker_amended"]


def test_two_doubles_joined_to_each_other_do_not_both_vanish(plant, unit, walk):
    one, other = (plant.ines.mark(unit, walk, "scratch", "left.cab_door_lower", tag) for tag in ("B1", "B2"))
    first = plant.ines.do(unit, "marker_joined", {"marker": one, "into": other})
    second = plant.lukasz.do(unit, "marker_joined", {"marker": other, "into": one})

    assert (first.outcome, second.outcome) == ("applied", "flagged")
    assert second.reason == "B1, which B2 was to be joined to, was withdrawn meanwhile."
    assert plant.row("markers", other)["state"] == "open"


def test_a_withdrawal_needs_a_reason(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1")

    assert plant.ines.do(unit, "marker_withdrawn", {"marker": marker, "reason": "  "}).outcome == "refused"
    assert plant.ines.do(unit, "marker_withdrawn", {"marker": marker, "reason": "a shadow"}).outcome == "applied"


def test_a_judged_origin_outlives_an_amendment(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1")
    plant.per.do(unit, "origin_revised", {"marker": marker, "origin": "prep"})
    plant.ines.do(unit, "marker_amended", {"marker": marker, "size": 5})

    row = plant.row("markers", marker)

    assert (row["origin"], row["origin_basis"], row["origin_by"]) == ("prep", "judged", plant.people["per"])


def test_a_technician_cannot_mark(plant, unit, walk):
    body = {"marker": new_id(), "tag": "B1", "walk": walk, "kind": "nib", **plant.ines.spot(unit, "left.sill")}

    assert plant.per.do(unit, "marker_made", body).code == "roles"


def test_a_marker_of_another_unit_is_not_touched(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.sill", "B1")
    other = plant.unit("118940")

    assert plant.ines.do(other, "marker_amended", {"marker": marker, "size": 5}).code == "no_marker"


def test_a_note_is_kept_outside_the_chain(plant, unit, walk):
    marker = new_id()
    body = {"marker": marker, "tag": "B1", "walk": walk, "kind": "nib", **plant.ines.spot(unit, "left.sill")}
    plant.ines.do(unit, "marker_made", body, {"note": "seen by Ms Arbuthnot"})

    db = plant.journal.read()
    assert plant.row("markers", marker)["note"] == "seen by Ms Arbuthnot"
    assert db.execute("SELECT count(*) FROM events WHERE body || resolved LIKE '%Arbuthnot%'").fetchone()[0] == 0


def test_an_unknown_method_is_refused_by_name(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.sill", "B1")

    assert (
        "'magic' is not a method" in plant.ines.do(unit, "marker_amended", {"marker": marker, "method": "magic"}).reason
    )


# ---------------------------------------------------------------------------------------------- so many on a part


def nibs(plant, unit, walk, *zones, by="ines", **more):
    """Mark small nibs (class A allows two on a part) and return their ids."""
    hands = getattr(plant, by)
    return [hands.mark(unit, walk, "nib", zone, f"B{n}", size=3, **more) for n, zone in enumerate(zones, 1)]


def verdicts(plant, *markers):
    """What each was judged to be by itself; what lies together is judged later, see test_judging.py."""
    rows = [plant.row("markers", marker) for marker in markers]
    return [(row["alone_verdict"] or row["verdict"], row["alone_limit"] or row["limit_text"]) for row in rows]


DOOR, SIDE = "left.storage_door", "left.moulding_sliding_door"  # both of own paint
TWO = ("within", "0.3 mm and 2 of them on this part, class A: within the limit of 0.5 mm and 2 on a part")
THREE = ("over", "3 of them on this part, class A: over the limit of 2 on a part")


def test_a_limit_of_so_many_on_a_part_counts_every_marker_of_the_kind_there(plant, unit, walk):
    first, elsewhere, second, third = nibs(plant, unit, walk, DOOR, SIDE, DOOR, DOOR)
    alone = ("within", "0.3 mm on class A: within the limit of 0.5 mm")

    assert verdicts(plant, first, elsewhere, second, third) == [alone, alone, TWO, THREE]
    assert plant.ines.do(unit, "marker_accepted", {"marker": third}).code == "not_over"


def test_only_the_marker_that_is_made_or_amended_is_judged_by_itself(plant, unit, walk):
    first, _, third = nibs(plant, unit, walk, DOOR, DOOR, DOOR)
    assert verdicts(plant, first)[0][0] == "within"

    plant.ines.do(unit, "marker_amended", {"marker": first, "size": 4})
    plant.ines.do(unit, "marker_withdrawn", {"marker": third, "reason": "dust"})

    assert verdicts(plant, first, third) == [THREE, THREE]


def test_what_is_withdrawn_cleared_or_no_flaw_stands_no_longer(plant, unit, walk):
    gone, mended = nibs(plant, unit, walk, DOOR, DOOR, severity="S4")
    plant.ines.do(unit, "marker_withdrawn", {"marker": gone, "reason": "dust"})
    plant.ines.do(unit, "put_right_here", {"marker": mended, "how": "hand_polish"})
    assert verdicts(plant, *nibs(plant, unit, walk, DOOR)) == [TWO]

    assert plant.lukasz.do(unit, "marker_cleared", {"marker": mended}).outcome == "applied"
    assert verdicts(plant, *nibs(plant, unit, walk, DOOR)) == [TWO]


def test_another_kind_another_unit_and_another_class_are_counted_apart(plant, unit, walk):
    other, door = plant.unit("118940"), "left.cab_door_lower"  # a part that has zones of two classes
    nibs(plant, other, plant.ines.start_walk(other), door, door)
    plant.ines.mark(unit, walk, "scratch", door, "B1", size=10)
    shut = next(zone for zone in parts_zones(plant, unit, door) if zone.surface_class == "C")
    plant.ines.mark(unit, walk, "nib", shut.id, "B2", size=3, count=5)

    assert verdicts(plant, *nibs(plant, unit, walk, door)) == [
        ("within", "0.3 mm on class A, the chassis maker's paint: within the limit of 0.8 mm")
    ]


def test_paint_of_the_chassis_maker_is_judged_by_its_own_milder_row(plant, unit, walk):
    ours, makers = (
        plant.ines.mark(unit, walk, "nib", zone, f"B{n}", size=8)
        for n, zone in enumerate(("left.storage_door", "left.cab_door_lower"), 1)
    )

    assert verdicts(plant, ours, makers) == [
        ("over", "0.8 mm on class A: over the limit of 0.5 mm"),
        ("within", "0.8 mm on class A, the chassis maker's paint: within the limit of 0.8 mm"),
    ]


def parts_zones(plant, unit, zone):
    outline = plant.journal.outline(plant.row("units", unit)["outline"])
    return [outline.zone(one) for one in outline.part(outline.zone(zone).part).zones]


def test_a_second_pair_of_eyes_is_not_told_what_the_first_has_found(plant, unit, walk):
    nibs(plant, unit, walk, DOOR, DOOR)
    blind = plant.lukasz.start_walk(unit, "second")
    own = nibs(plant, unit, blind, DOOR, DOOR, by="lukasz")

    assert verdicts(plant, *own) == [("within", "0.3 mm on class A: within the limit of 0.5 mm"), TWO]


def test_verdicts_that_count_others_are_rebuilt_as_they_were(plant, unit, walk):
    _, second, third = nibs(plant, unit, walk, DOOR, DOOR, DOOR)
    plant.ines.do(unit, "marker_withdrawn", {"marker": second, "reason": "dust"})
    plant.ines.do(unit, "marker_amended", {"marker": third, "size": 5})

    assert verify(plant.journal.folder.path).clean


def test_a_nib_of_900_mm_is_told_in_one_sentence_and_not_kept(plant, unit, walk):
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=10)
    told = plant.ines.do(unit, "marker_amended", {"marker": marker, "size": 9000})

    assert (told.outcome, told.reason) == (
        "refused",
        "900 mm is more than “dirt nib” can be (at most 40 mm); check the figure and its unit.",
    )
    assert plant.row("markers", marker)["size"] == 10
