"""What somebody chose against a rule stands with its reason on the signed sheet and in the history."""

from __future__ import annotations

import html

from signed_units import concession, issued, looked_again, put_right, sheet_file, sign, walked

from inspect_app.journal.planned import task
from tests.pdf_text import words
from tests.rooms.desk import Desk

DOOR, TRIM = "left.sliding_door_lower", "left.cab_door_lower"
WHY, PLANNED = "Only dust in the base.", "The booth is free anyway."


def test_a_barred_method_and_a_plan_made_otherwise_stand_on_the_sheet_and_in_the_history(plant, app, client_as):
    unit = plant.unit()
    swirl, nib = walked(plant, unit, ("swirl", DOOR, {"size": 300}), ("nib", TRIM, {"size": 4}))
    versions, db = plant.journal.versions, plant.journal.read()
    row = db.execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone()
    held = task(db, row, plant.journal.catalogue(), versions.outline(db, row["outline"]), money=False)
    part = plant.rows("markers", unit)[1]["part"]
    body = {"basis": held.basis, "otherwise": [{"part": part, "chosen": "refinish", "reason": PLANNED}]}
    assert plant.maud.online(unit, "plan_accepted", body).outcome == "applied"
    job = next(
        job
        for job in plant.rows("jobs", unit)
        if job["state"] == "ready" and job["part"] != part and job["method"] == "machine_polish"
    )
    assert plant.per.do(unit, "spot_examined", {"marker": swirl, "depth": "base"}).outcome == "applied"
    chosen = {"job": job["id"], "method": "machine_polish", "reason": WHY}
    assert plant.per.do(unit, "method_chosen", chosen).outcome == "applied"
    asked = concession(plant, unit, nib, reason="The customer wants it as it is.")
    assert plant.maud.online(unit, "concession_agreed", {"concession": asked}).outcome == "applied"
    put_right(plant, unit)
    looked_again(plant, unit)
    plant.ines.confirm(unit)
    assert sign(client_as("ines"), unit).status_code == 200

    text = words(sheet_file(app, issued(app, unit)))
    assert "Chosen otherwise, with the reason" in text
    assert "barred: B1: it goes through the clear" in text
    assert f"{WHY} Per Halvorsen" in text
    assert "Plan: left cab door refinished whole" in text
    assert PLANNED in text
    assert "The customer wants it as it is." in text
    history = html.unescape(Desk(client_as("maud")).words(f"/units/{unit}/history"))
    assert WHY in history
    assert PLANNED in history


def test_a_sheet_without_such_a_choice_has_no_such_section(plant, app, client_as):
    unit = plant.unit()
    walked(plant, unit, ("swirl", DOOR, {"size": 300}))
    put_right(plant, unit)
    looked_again(plant, unit)
    plant.ines.confirm(unit)
    sign(client_as("ines"), unit)

    text = words(sheet_file(app, issued(app, unit)))

    assert "Register of markers" in text
    assert "Chosen otherwise" not in text
