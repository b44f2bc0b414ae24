"""Units brought as far as a test of the sign-off needs them."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

from sample_units.hands import new_id

STROKES = [[[80, 700], [160, 250], [240, 720]], [[300, 600], [420, 380], [520, 640], [700, 560]]]
PIN = "2580"


def walked(plant, unit: str, *marks: tuple[str, str, dict[str, Any]]) -> list[str]:
    """Walk a unit to the end with these markers (kind, zone, more) and return their ids."""
    walk = plant.ines.start_walk(unit)
    made = [plant.ines.mark(unit, walk, kind, zone, f"B{n}", **more) for n, (kind, zone, more) in enumerate(marks, 1)]
    assert plant.ines.finish_walk(unit, walk).outcome == "applied"
    return made


def put_right(plant, unit: str) -> None:
    """Do every job there is, step after step."""
    hands = (plant.per, plant.thanh, plant.zaneta, plant.dmytro)
    while todo := [(hand, job) for hand in hands for job in hand.jobs(unit)]:
        for hand, job in todo:
            hand.work(unit, job)


def looked_again(plant, unit: str) -> None:
    """Clear every reworked marker and look at what work has undone."""
    walk = plant.lukasz.start_walk(unit, "again")
    for marker in plant.rows("markers", unit):
        if marker["state"] == "reworked":
            plant.lukasz.do(unit, "marker_cleared", {"marker": marker["id"], "walk": walk})
    assert plant.lukasz.finish_walk(unit, walk).outcome == "applied"


def ready(plant, last_six: str = "047312") -> str:
    """A unit with two cleared markers, all gates confirmed that want a name: nothing is missing but the signature."""
    unit = plant.unit(last_six)
    walked(
        plant,
        unit,
        ("swirl", "left.sliding_door_lower", {"size": 300}),
        ("dent", "right.cab_door_lower", {"size": 120}),
    )
    put_right(plant, unit)
    looked_again(plant, unit)
    plant.ines.confirm(unit)
    return unit


def late_marker(plant, unit: str) -> str:
    """A marker that reaches the server after the unit was signed."""
    marker = new_id()
    spot = {"view": "front", "x": 9000, "y": 14000, "spread": 50}
    answer = plant.ines.do(unit, "marker_made", {"marker": marker, "tag": "B9", "kind": "chip", "size": 12, **spot})
    assert answer.outcome == "flagged"
    return marker


def concession(plant, unit: str, marker: str, by: str = "ines", **private: str) -> str:
    """Ask for a concession and return its id."""
    key = new_id()
    words = {"reason": "Only seen from below.", "customer": "Mr Holm", "channel": "by telephone", **private}
    answer = getattr(plant, by).do(unit, "concession_asked", {"concession": key, "marker": marker}, words)
    assert answer.outcome == "applied", answer.reason
    return key


def sign(client, unit: str, **changed: Any):
    """Send what the page sends when somebody signs."""
    head = client.get(f"/sign-off/{unit}/now").json["head"]
    return client.post(
        f"/sign-off/{unit}/sign", json={"pin": PIN, "strokes": STROKES, "expected_head": head, **changed}
    )


def issued(app, unit: str, revision: str = "A") -> dict[str, Any]:
    """Wait until the press has made a sheet and return its row."""
    press, journal = app.extensions["lampwalk"].press, app.extensions["lampwalk"].journal
    for _ in range(1200):
        sql = "SELECT * FROM sheets WHERE unit = ? AND revision = ?"
        row = dict(journal.read().execute(sql, (unit, revision)).fetchone())
        trouble = press.trouble(unit, revision)
        assert trouble is None, trouble
        if row["state"] == "issued":
            return row
        time.sleep(0.05)
    raise AssertionError("the sheet was not made within a minute")


def sheet_file(app, row: dict[str, Any], paper: str = "a4") -> Path:
    """The stored file of a sheet."""
    return app.extensions["lampwalk"].journal.folder.path / "sheets" / f"{row[paper]}.pdf"
