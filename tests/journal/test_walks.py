"""Walks: what they ask to be looked at, and when they may end."""

import pytest

from inspect_app.journal import coverage


@pytest.fixture
def unit(plant):
    return plant.unit()


def missing(plant, unit):
    return coverage.missing_of_unit(plant.journal.read(), plant.journal.versions, plant.row("units", unit))


def test_a_walk_ends_only_when_every_zone_of_its_laps_was_looked_at(plant, unit):
    walk = plant.ines.start_walk(unit)
    assert plant.ines.do(unit, "walk_finished", {"walk": walk}).code == "all_looked"

    plant.ines.look_everywhere(unit, walk)

    assert plant.ines.do(unit, "walk_finished", {"walk": walk}).outcome == "applied"
    assert missing(plant, unit) == set()


def test_a_look_taken_back_is_missing_again(plant, unit):
    walk = plant.ines.start_walk(unit)
    plant.ines.look_everywhere(unit, walk)
    plant.ines.do(unit, "look_undone", {"walk": walk, "zone": "left.sill", "lap": "fit"})

    assert missing(plant, unit) == {("left.sill", "fit")}


def test_a_zone_that_is_not_fitted_is_not_asked_for_and_cannot_be_looked_at(plant, unit):
    plant.ines.do(unit, "zones_absent", {"zones": ["left.storage_door"], "why": "not_fitted"})
    walk = plant.ines.start_walk(unit)

    answer = plant.ines.do(unit, "zone_looked", {"walk": walk, "zone": "left.storage_door", "lap": "lamp", "found": 0})

    assert answer.code == "not_absent"
    assert "left.storage_door" not in {zone for zone, _ in missing(plant, unit)}


def test_a_part_off_the_van_holds_the_finish_until_it_is_back(plant, unit):
    plant.ines.do(unit, "zones_absent", {"zones": ["left.sill"], "why": "off"})
    walk = plant.ines.start_walk(unit)
    plant.ines.look_everywhere(unit, walk)
    assert plant.ines.do(unit, "walk_finished", {"walk": walk}).code == "all_looked"

    plant.ines.do(unit, "zones_absent", {"zones": ["left.sill"], "why": "present"})

    assert plant.ines.finish_walk(unit, walk).outcome == "applied"


def test_looks_of_the_incoming_walk_do_not_count_for_coverage(plant, unit):
    walk = plant.ines.start_walk(unit, "incoming")
    assert plant.ines.finish_walk(unit, walk).outcome == "applied"

    assert ("left.sill", "lamp") in missing(plant, unit)


def test_two_tablets_that_began_the_same_walk_apart_finish_it_together(plant, unit):
    one, other = plant.ines.start_walk(unit), plant.lukasz.start_walk(unit)
    spots = sorted(missing(plant, unit))
    half = len(spots) // 2
    for hands, walk, share in ((plant.ines, one, spots[:half]), (plant.lukasz, other, spots[half:])):
        hands.send(*(hands.event(unit, "zone_looked", {"walk": walk, "zone": z, "lap": lap}) for z, lap in share))

    assert plant.ines.do(unit, "walk_finished", {"walk": one}).outcome == "applied"
    assert {walk["state"] for walk in plant.rows("walks", unit)} == {"finished"}


def test_a_look_older_than_the_last_work_does_not_hold(plant, unit):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    job = plant.per.jobs(unit)[0]
    again = plant.lukasz.start_walk(unit, "again")
    old = plant.lukasz.event(unit, "zone_looked", {"walk": again, "zone": "left.cab_door_lower", "lap": "lamp"})
    plant.per.work(unit, job)
    plant.lukasz.send(old)

    assert ("left.cab_door_lower", "lamp") in missing(plant, unit)
    plant.lukasz.do(unit, "zone_looked", {"walk": again, "zone": "left.cab_door_lower", "lap": "lamp"})
    assert missing(plant, unit) == set()


def test_a_look_again_ends_when_every_ring_is_decided_and_every_voided_zone_seen(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])
    again = plant.ines.start_walk(unit, "again")
    plant.ines.look_everywhere(unit, again)
    assert plant.ines.do(unit, "walk_finished", {"walk": again}).code == "all_decided"

    plant.ines.do(unit, "marker_cleared", {"marker": marker, "walk": again})

    assert plant.ines.do(unit, "walk_finished", {"walk": again}).outcome == "applied"
    assert plant.row("units", unit)["stage"] == "to_sign"


def test_marks_can_be_sent_to_rework_before_the_walk_is_finished(plant, unit):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=15)
    assert plant.per.jobs(unit) == []

    plant.ines.do(unit, "marks_released", {"walk": walk})

    assert len(plant.per.jobs(unit)) == 1


def test_an_observation_never_becomes_a_job_and_never_blocks(plant, unit):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=15, severity="S5")
    plant.ines.finish_walk(unit, walk)

    assert plant.rows("jobs", unit) == []
    assert plant.row("units", unit)["stage"] == "to_sign"
