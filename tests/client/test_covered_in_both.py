"""What a refinish of its part covers, case by case: in SQLite and in Chromium, on the same rows."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path

import pytest

from inspect_app.journal import store
from inspect_app.journal.covered import covered
from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import outline, ways

from .conftest import by_text

BOOK, VAN = catalogues.builtin(), outline.builtin()
CASES = json.loads((Path(__file__).parents[1] / "vectors" / "covered.json").read_text("utf-8"))
ZONES = {"door": VAN.zone("left.cab_door_lower"), "panel": VAN.zone("left.rear_panel_lower")}
TABLES = ("units", "markers", "jobs", "job_markers")
WANTED = sorted(f"u{number}-{kind}" for number, case in enumerate(CASES) for kind in case["covered"])


def rows():
    """Every case as a unit of its own, with a job for each of its marks but those that go into another's."""
    found = {table: [] for table in TABLES}
    for number, case in enumerate(CASES):
        unit = f"u{number}"
        found["units"].append({"id": unit, "chassis": unit, "last_six": unit, "outline": VAN.hash, "state": "open"})
        for kind, place, size in case["marks"]:
            zone, key = ZONES[place], f"{unit}-{kind}"
            said = case.get("jobs", {}).get(kind, {})
            given = {name: value for name, value in said.items() if name != "into"}
            found["markers"].append(
                {"id": key, "unit": unit, "tag": kind, "kind": kind, "view": "left", "zone": zone.id, "part": zone.part,
                 "class": zone.surface_class, "size": size, "count": 1, "state": "open", **case.get("markers", {}).get(kind, {})}
            )  # fmt: skip
            into = f"{unit}-{said['into']}" if "into" in said else key
            left_out = int(kind in case.get("left_out", ()))
            found["job_markers"].append({"job": into, "marker": key, "unit": unit, "left_out": left_out})
            if into == key:
                method = given.get("method", BOOK.kind(kind).method_for("metal"))
                chain = BOOK.method(method).chain
                step = chain[min(given.get("step", 1), len(chain)) - 1]
                found["jobs"].append(
                    {"id": key, "unit": unit, "part": zone.part, "method": method, "department": step.department,
                     "step": 1, "chain": key, "state": "ready", **given}
                )  # fmt: skip
    return found


def test_each_case_is_found_by_the_server(tmp_path):
    store.migrate(tmp_path / "a.db")
    db = sqlite3.connect(tmp_path / "a.db")
    db.row_factory = sqlite3.Row
    for table, some in rows().items():
        columns = db.execute(f"SELECT name, type, \"notnull\" AS must FROM pragma_table_info('{table}')").fetchall()
        blank = {
            row["name"]: {"INTEGER": 0}.get(row["type"], "") for row in columns if row["must"] or row["name"] == "id"
        }
        for one in some:
            whole = {**blank, **one}
            marks = ", ".join("?" * len(whole))
            names = ", ".join(f'"{name}"' for name in whole)
            db.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", list(whole.values()))

    found = covered(db, BOOK, lambda _hash: VAN)
    db.close()
    assert sorted(found) == WANTED


IN_THE_BROWSER = """async ([catalogue, rules, outline, state]) => {
  const { bench } = await import('/rooms/rework/model.js');
  const outlines = new Map([[outline.hash, outline]]);
  const found = bench({ state, me: null, events: [] }, { catalogue, outlines, now: 0, rules });
  return [...found.entries.values()].filter((entry) => entry.covered).map((entry) => entry.job.id);
}"""


@pytest.mark.browser
def test_each_case_is_found_by_the_bench(bench_modules):
    told = by_text(bench_modules, IN_THE_BROWSER, [BOOK.to_json(), ways.to_json(BOOK), VAN.to_json(), rows()])

    assert sorted(told) == WANTED


def test_the_cases_reach_all_of_it():
    assert len({case["case"] for case in CASES}) == len(CASES) > 25
    assert sum(case["covered"] == [] for case in CASES) > 10
