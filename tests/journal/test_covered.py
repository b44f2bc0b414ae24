"""What a refinish of its part covers: found from the rows of now, and no longer once the paint is on."""

import pytest

from inspect_app.journal import planned
from inspect_app.journal.covered import covered
from inspect_app.trade import catalogue
from inspect_app.trade.repair_cover import spared

DOOR, MOULDING = "left.cab_door_lower", "left.moulding_cab_door"


def walked(plant, *marks):
    unit = plant.unit(finish="solid")
    walk = plant.ines.start_walk(unit)
    markers = [
        plant.ines.mark(unit, walk, kind, zone, f"A{n}", **more) for n, (kind, zone, more) in enumerate(marks, 1)
    ]
    plant.ines.finish_walk(unit, walk)
    return unit, markers


def spared_now(plant):
    """The methods of the covered jobs."""
    found = covered(plant.journal.read(), plant.journal.catalogue(), plant.journal.outline)
    return sorted(plant.row("jobs", job)["method"] for job in found)


def accepted(plant, unit):
    """The plan of now, accepted."""
    db = plant.journal.read()
    row = db.execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone()
    task = planned.task(db, row, plant.journal.catalogue(), plant.journal.outline(row["outline"]))
    return plant.thanh.online(unit, "plan_accepted", {"basis": task.basis, "otherwise": []})


NIB, SHADE = ("nib", DOOR, {"size": 8}), ("mottling", DOOR, {})


def test_a_nib_on_a_door_that_is_refinished_is_covered_until_the_paint_is_on(plant):
    unit, _ = walked(plant, NIB, SHADE, ("nib", "left.rear_panel_lower", {"size": 8}))
    assert spared_now(plant) == ["denib_polish"]
    paint = next(job for job in plant.rows("jobs", unit) if job["department"] == "paint")
    plant.thanh.take(unit, paint)
    assert spared_now(plant) == ["denib_polish"]  # in hand, and not yet painted
    plant.thanh.do(unit, "job_handed_back", {"job": paint["id"], "reason": "End of shift"})
    plant.thanh.work(unit, plant.row("jobs", paint["id"]))
    assert spared_now(plant) == []


def test_bare_metal_is_not_covered_it_is_treated_before_anything_is_painted(plant):
    unit, (chip, _) = walked(plant, ("chip", DOOR, {"size": 60}), SHADE)
    assert spared_now(plant) == ["spot_repair"]
    assert plant.per.do(unit, "spot_examined", {"marker": chip, "depth": "metal"}).outcome == "applied"
    assert spared_now(plant) == []


def test_a_nib_on_a_door_whose_dent_is_filled_and_refinished_is_covered(plant):
    unit, (_, dent) = walked(plant, NIB, ("dent", DOOR, {"size": 200}))
    assert spared_now(plant) == []  # pushed out: no new film
    job = next(job for job in plant.rows("jobs", unit) if job["method"] == "dent_push")
    plant.zaneta.do(unit, "spot_examined", {"marker": dent, "depth": "primer"})
    chosen = plant.zaneta.do(unit, "method_chosen", {"job": job["id"], "method": "dent_refinish"})
    assert chosen.outcome == "applied"
    assert spared_now(plant) == ["denib_polish"]

    # The plan does what the bench says: one job for both, and nothing is polished that is painted over.
    assert accepted(plant, unit).outcome == "applied"
    assert spared_now(plant) == []
    open_now = [job for job in plant.rows("jobs", unit) if job["state"] in ("ready", "waiting")]
    assert [(job["method"], job["department"]) for job in open_now] == [
        ("dent_refinish", "body"), ("dent_refinish", "paint"), ("dent_refinish", "polish"),
    ]  # fmt: skip
    held = [row["marker"] for row in plant.rows("job_markers", unit) if row["job"] == open_now[0]["id"]]
    assert len(held) == 2
    plant.zaneta.work(unit, open_now[0])
    plant.thanh.work(unit, plant.row("jobs", open_now[1]["id"]))
    plant.per.work(unit, plant.row("jobs", open_now[2]["id"]))
    assert {row["state"] for row in plant.rows("markers", unit)} == {"reworked"}


@pytest.mark.parametrize(
    "other",
    [
        ("dent", DOOR, {"size": 200}),  # pushed before it is painted
        ("gap", DOOR, {}),
        ("nib", "left.rear_panel_lower", {"size": 8}),
        ("dirt", DOOR, {"severity": "S4"}),  # cleaned off; whether it would be painted over, no rule says
    ],
)
def test_what_a_new_film_does_not_put_right_is_not_covered(plant, other):
    walked(plant, other, SHADE)
    assert spared_now(plant) == []


def test_what_a_person_chose_or_put_first_or_took_is_not_covered(plant):
    unit, _ = walked(plant, NIB, SHADE)
    job = next(job for job in plant.rows("jobs", unit) if job["department"] == "polish" and job["step"] == 1)

    plant.maud.online(unit, "job_pinned", {"job": job["id"], "pinned": True})
    assert spared_now(plant) == []
    plant.maud.online(unit, "job_pinned", {"job": job["id"], "pinned": False})
    assert spared_now(plant) == ["denib_polish"]
    plant.per.do(unit, "method_chosen", {"job": job["id"], "method": "flat_polish", "reason": "A manager agreed"})
    assert plant.row("jobs", job["id"])["method"] == "flat_polish"
    assert spared_now(plant) == []


def test_rust_is_treated_before_it_is_painted_and_a_refinish_covers_no_refinish():
    found = spared(catalogue.builtin().rule_book.selectors)
    assert found["chip"] == ["touch_in", "spot_repair"]  # and not rust_treat, which stands after the refinish
    assert "corrosion" not in found
    assert not {method for methods in found.values() for method in methods} & {"refinish", "strip_refinish"}


def test_an_accepted_plan_that_refinishes_leaves_nothing_to_cover_and_a_mark_made_afterwards_is_covered(plant):
    unit, _ = walked(plant, NIB, SHADE)
    assert accepted(plant, unit).outcome == "applied"
    assert spared_now(plant) == []

    plant.ines.mark(unit, None, "scratch", DOOR, "A9", size=30)
    plant.journal.settled()
    assert len(spared_now(plant)) == 1
