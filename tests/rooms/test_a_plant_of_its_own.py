"""What the docs promise a manager who has only read them, each from its first page to what it is for (setup.md, outlines.md)."""

from __future__ import annotations

import csv
import io

import pytest
from desk import Desk, said
from test_setup_catalogue import LIMITS, mark, send
from test_setup_outlines import NUMBERS, SMALL, bring, kept

from tests.conftest import PIN

HEAD = ["plant", "chassis number", "build number", "make", "model", "colour", "finish", "options", "due date"]
# What goes wrong in a list that an office types, each with what the report says of it.
SLIPS = [
    ("chassis number", "ZZBRT6LO0KA100000", "position 8 is 'O'"),
    ("chassis number", "ZZBRT6L00KI100001", "'I'"),
    ("chassis number", "ZZBRT6L00KQ100002", "'Q'"),
    ("chassis number", "ZZBRT6L00KA1000", "17"),
    ("chassis number", "", "'chassis number'"),
    ("plant", "", "'plant'"),
    ("make", "", "'make'"),
    ("model", "", "'model'"),
    ("colour", "", "'colour'"),
    ("finish", "matt", "'finish'"),
    ("due date", "31/02/2027", "'due date'"),
    ("due date", "next week", "'due date'"),
]


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def walked_on(plant, unit, zone) -> dict[str, object]:
    """Walk a unit, with one mark on the way; returns the mark."""
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", zone, "B1", size=15)
    assert plant.ines.finish_walk(unit, walk).outcome == "applied"
    return plant.row("markers", marker)


def test_a_kind_goes_to_a_department_of_ones_own_and_its_job_reaches_whoever_works_there(plant, maud):
    new = send(maud, "/setup/catalogue/departments/new", label="Gel coat", short="Gel", takes_jobs="y")
    method = send(maud, "/setup/catalogue/methods/denib_polish", **{"chain-0-department": "gel_coat"})
    kind = send(maud, "/setup/catalogue/kinds/nib", origin_department="gel_coat")
    assert [answer.status_code for answer in (new, method, kind)] == [302] * 3
    person = f"/setup/people/{plant.people['zaneta']}"
    told = maud.send(person, name="Żaneta Kowal", roles="technician", departments="gel_coat")
    assert told.status_code == 302

    unit = plant.unit()
    walked_on(plant, unit, "left.sliding_door_lower")

    assert [job["department"] for job in plant.rows("jobs", unit)] == ["gel_coat"]


def test_a_limit_is_tightened_and_what_was_judged_before_stays(plant, maud):
    unit = plant.unit()
    old = mark(plant, unit, "B1", size=5)
    assert send(maud, LIMITS, **{"a_any-max_size": "0.3"}).status_code == 302
    new = mark(plant, unit, "B2", size=5)

    assert (plant.row("markers", old["id"])["verdict"], new["verdict"]) == ("within", "over")
    assert "0.3 mm" in new["limit_text"]
    assert "0.3 mm" in maud.words("/setup/catalogue/changes/1/2")


def test_units_are_walked_on_an_outline_by_numbers_and_on_one_from_an_svg(plant, maud):
    by_numbers = kept(maud)
    draft = bring(maud, SMALL)
    from_svg = maud.send(draft.location, name="Our box van", keep="1").location.rpartition("/")[2]
    for key, model in ((by_numbers, "Tourer 6"), (from_svg, "Box 3")):
        page = f"/setup/outlines/{key}"
        assert maud.send(f"{page}/models", page=page, make="Brennach", model=model).status_code == 302

    first, second = plant.unit(), plant.unit("118940", model="Box 3")
    door, panel = walked_on(plant, first, "left.sliding_door_lower"), walked_on(plant, second, "left.panel")

    assert [plant.row("units", unit)["outline"] for unit in (first, second)] == [by_numbers, from_svg]
    assert (door["zone"], panel["zone"]) == ("left.sliding_door_lower", "left.panel")
    assert maud.get(f"/units/{second}").status_code == 200
    assert NUMBERS["name"] in maud.words("/setup/outlines")


def test_whoever_has_left_signs_in_no_more_and_their_work_keeps_its_name(plant, maud, app):
    unit = plant.unit()
    walked_on(plant, unit, "left.sliding_door_lower")
    person = plant.people["ines"]
    maud.send(f"/setup/people/{person}/left", page=f"/setup/people/{person}")

    tablet = app.test_client()
    tablet.environ_base["HTTP_X_LAMPWALK"] = "1"
    assert tablet.post("/sign-in", json={"person": person, "pin": PIN}).status_code == 403
    assert "Ines Okafor" in maud.words(f"/units/{unit}/history")


def listed(rows: list[dict[str, str]]) -> bytes:
    into = io.StringIO()
    writer = csv.DictWriter(into, HEAD, delimiter=";", extrasaction="ignore")
    writer.writeheader()
    writer.writerows(rows)
    return into.getvalue().encode()


def test_two_hundred_units_come_in_and_the_twelve_faulty_rows_are_mended(plant, maud):
    right = [
        dict(zip(HEAD, ["Halden yard", f"ZZBRT6L{n % 10}0KA{100_000 + n}", f"HB-{n}", "Brennach", "Tourer 6", "Sand", "solid", "", "2027-01-15"], strict=True))
        for n in range(200)
    ]  # fmt: skip
    wrong = [dict(row) for row in right]
    for row, (column, slip, _why) in zip(wrong[7::16], SLIPS, strict=False):
        row[column] = slip

    def brought(rows: list[dict[str, str]]):
        answer = maud.send("/setup/units/import", file=(io.BytesIO(listed(rows)), "units.csv"))
        return answer.headers["Location"], maud.get(answer.headers["Location"])

    place, report = brought(wrong)
    assert "188 units came in, 12 rows were not taken." in said(report)
    assert [why for _column, _slip, why in SLIPS if why not in said(report)] == []
    back = maud.get(f"{place}/rows.csv").text.lstrip("\ufeff")
    rows = list(csv.DictReader(io.StringIO(back), delimiter=";" if ";" in back.splitlines()[0] else ","))
    assert len(rows) == 12

    by_build = {row["build number"]: row for row in right}
    _place, report = brought([{**row, **by_build[row["build number"]]} for row in rows])
    assert "12 units came in." in said(report)
    count = plant.journal.read().execute("SELECT count(*), count(DISTINCT chassis) FROM units").fetchone()
    assert tuple(count) == (200, 200)
