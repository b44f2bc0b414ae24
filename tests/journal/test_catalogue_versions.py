"""Versions of the catalogue in the journal: who may, in which order, by which a tablet's events are judged, what a restart does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inspect_app.journal import Journal
from inspect_app.journal import starting as starts
from inspect_app.journal.events import PLANT, Refusal, canonical
from inspect_app.journal.queries import versions
from inspect_app.journal.verify import verify
from inspect_app.trade import catalogue as catalogues
from inspect_app.trade.catalogue_change import limits_of, retired, with_limits, with_row

DOOR = "left.storage_door"  # own paint, class A


def tighter(found: catalogues.Catalogue, size: int = 3) -> catalogues.Catalogue:
    """A catalogue that allows nibs of 0.3 mm on class A."""
    rows = [
        replace(row, max_size=size, raking_max_size=None) if (row.surface_class, row.paint) == ("A", None) else row
        for row in limits_of(found, "nib")
    ]
    return with_limits(found, "nib", rows)


def publish(plant, made, *, by: str = "maud", **more):
    """Publish a catalogue as a page of the server does."""
    hands = getattr(plant, by)
    body = {"hash": made.hash, "content": canonical(made.to_json()), "from": plant.journal.catalogue().hash, **more}
    return plant.journal.record(hands.ticket, PLANT, "catalogue_published", body, private={"reason": "A trial"})


def test_the_newest_holds_and_who_made_it_is_kept(plant):
    publish(plant, tighter(plant.journal.catalogue()))

    newest, first = versions.published(plant.journal.read())
    assert plant.journal.catalogue().limit("nib", "A").max_size == 3
    assert (newest.number, newest.name, newest.why) == (2, "Maud Esterházy", "A trial")
    assert (first.number, first.name) == (1, None)
    assert verify(plant.journal.folder.path).clean


def test_an_event_made_under_the_version_before_is_judged_by_the_one_it_names(plant):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    old = plant.journal.catalogue().hash
    made = plant.ines.event(unit, "marker_made", spot(plant, unit, walk, "B1"))
    publish(plant, tighter(plant.journal.catalogue()))

    plant.ines.send({**made, "catalogue": old})
    plant.ines.send(
        {
            **plant.ines.event(unit, "marker_made", spot(plant, unit, walk, "B2")),
            "catalogue": plant.journal.catalogue().hash,
        }
    )

    rows = {row["tag"]: row["verdict"] for row in plant.rows("markers", unit)}
    assert rows == {"B1": "within", "B2": "over"}


def spot(plant, unit, walk, tag):
    from sample_units.hands import new_id

    outline = plant.journal.outline(plant.row("units", unit)["outline"])
    ring = outline.zone(DOOR).rings[0]
    x, y = (ring.left + ring.right) * 5, (ring.top + ring.bottom) * 5
    return {
        "marker": new_id(),
        "tag": tag,
        "walk": walk,
        "lap": "lamp",
        "kind": "nib",
        "view": "left",
        "x": round(x),
        "y": round(y),
        "size": 5,
    }


def test_a_walk_in_progress_goes_on_and_finished_ones_keep_their_verdicts(plant):
    done, going = plant.unit(), plant.unit("118940")
    kept = plant.ines.mark(done, plant.ines.start_walk(done), "nib", DOOR, "B1", size=5)
    walk = plant.ines.start_walk(going)
    plant.ines.mark(going, walk, "nib", DOOR, "B1", size=5)

    publish(plant, tighter(plant.journal.catalogue()))

    assert plant.ines.do(going, "zone_looked", {"walk": walk, "zone": DOOR, "lap": "lamp"}).outcome == "applied"
    assert plant.row("markers", kept)["verdict"] == "within"


def test_a_retired_method_and_kind_still_carry_what_was_found_by_them(plant):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=3000)
    found = plant.journal.catalogue()
    other = replace(found.kind("polish_burn"), method="refinish")
    gone = retired(with_row(found, "kinds", other), "kinds", "swirl")
    publish(plant, gone)

    assert plant.ines.do(unit, "marks_released", {"walk": walk}).outcome == "applied"
    [job] = plant.rows("jobs", unit)
    assert plant.per.work(unit, job).outcome == "applied"


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        (lambda made: {"from": "0" * 64}, "changed_meanwhile"),
        (lambda made: {"hash": "0" * 64}, "malformed"),
        (lambda made: {"content": "{"}, "malformed"),
        (lambda made: {"content": "{}"}, "malformed"),
    ],
)
def test_what_does_not_follow_from_the_version_in_force_is_refused(plant, spoil, code):
    made = tighter(plant.journal.catalogue())

    with pytest.raises(Refusal) as refused:
        publish(plant, made, **spoil(made))

    assert refused.value.code == code
    assert len(versions.published(plant.journal.read())) == 1


def test_faults_left_out_rows_and_the_same_again_are_refused(plant):
    found = plant.journal.catalogue()
    fewer = replace(found, cautions={key: one for key, one in found.cautions.items() if key != "air"})
    method = replace(found.method("denib_polish"), cautions=())

    for made, code in [
        (found, "same"),
        (fewer, "left_out"),
        (with_row(found, "methods", method), "faulty"),
    ]:
        with pytest.raises(Refusal) as refused:
            publish(plant, made)
        assert refused.value.code == code


def test_an_inspector_publishes_nothing(plant):
    with pytest.raises(Refusal) as refused:
        publish(plant, tighter(plant.journal.catalogue()), by="ines")

    assert (refused.value.code, refused.value.status) == ("roles", 403)


# ------------------------------------------------------------------ a new program


def newer(monkeypatch):
    """A program that comes with another catalogue: one kind less, one department more."""
    ours = catalogues.builtin()
    kinds = {key: kind for key, kind in ours.kinds.items() if key != "swirl"}
    limits = tuple(one for one in ours.limits if "swirl" not in one.kinds)
    gel = replace(ours.departments["paint"], key="gel", label="Gel coat", short="Gel", order=99)
    made = replace(ours, kinds=kinds, limits=limits, departments={**ours.departments, "gel": gel})
    monkeypatch.setattr(starts.catalogue, "builtin", lambda: made)


def test_a_plant_that_changed_nothing_gets_the_new_one_and_keeps_what_history_names(tmp_path, monkeypatch):
    Journal(tmp_path / "plant").close()
    newer(monkeypatch)

    for _start in range(2):
        with Journal(tmp_path / "plant") as journal:
            found = journal.catalogue()
            number = len(versions.published(journal.read()))
            assert ("gel" in found.departments, found.kind("swirl").retired, number) == (True, True, 2)


def test_a_plant_with_a_catalogue_of_its_own_keeps_it(plant, monkeypatch):
    publish(plant, tighter(plant.journal.catalogue()))
    newer(monkeypatch)

    assert starts.starting_catalogue(plant.journal.read(), plant.journal.versions) is None
