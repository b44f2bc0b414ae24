"""Units that arrive: one by one, from a list on the page, from a list by the command; nothing comes in twice."""

from __future__ import annotations

import io
import subprocess
import sys

import pytest
from desk import Desk, fault_beside, said

from inspect_app.journal import Journal
from inspect_app.journal.verify import verify
from inspect_app.rooms.units.bring import bring_file
from inspect_app.rooms.units.paint import GREY, colour_hex
from inspect_app.trade.units_csv import read_units

HEAD = "plant;chassis number;build number;make;model;colour;finish;options;due date"
GOOD = [
    "Halden yard;ZZBRT6L10KA047312;HB-1;Brennach;Tourer 6;Fjord grey;metallic;roof fan|storage door;14/12/2026",
    "Halden yard;ZZBRT6L20KA047312;HB-2;Brennach;Tourer 6;Night blue;solid;;2026-12-15",
]
BAD = "Halden yard;ZZBRT6LO0KA047313;HB-3;Brennach;Tourer 6;Sand;matt;;2026-12-15"
UNIT = {
    "chassis": "zzbrt 6l10k a047312", "build_number": "HB-1", "make": "Brennach", "model": "Tourer 6",
    "colour": "Juniper green", "finish": "solid", "due": "14/12/2026", "plant": "Halden yard",
    "options": "roof fan\n\nroof fan\nstorage door",
}  # fmt: skip


def listed(*rows: str) -> bytes:
    return "\r\n".join([HEAD, *rows, ""]).encode("utf-8-sig")


def units(journal) -> list[dict[str, object]]:
    return [dict(row) for row in journal.read().execute("SELECT * FROM units ORDER BY build_number")]


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def upload(desk, data: bytes):
    return desk.send("/setup/units/import", file=(io.BytesIO(data), "units.csv"))


# ------------------------------------------------------------------ one by one


def test_a_unit_is_added_as_typed_and_leads_to_its_card(plant, maud):
    answer = maud.send("/units/new", **UNIT)

    (unit,) = units(plant.journal)
    assert answer.headers["Location"] == f"/units/{unit['id']}"
    assert (unit["chassis"], unit["last_six"], unit["options"]) == ("ZZBRT6L10KA047312", "047312", '["roof fan", "storage door"]')  # fmt: skip
    assert unit["stage"] == "to_walk"


def test_the_same_unit_sent_twice_is_one_unit_and_the_second_is_told(plant, maud):
    maud.send("/units/new", **UNIT)

    again = maud.send("/units/new", **UNIT)

    assert again.status_code == 422
    assert "is known already" in fault_beside(again, "chassis")
    assert len(units(plant.journal)) == 1


@pytest.mark.parametrize(
    ("wrong", "field", "sentence"),
    [
        ({"chassis": "ZZBRT6LO0KA047312"}, "chassis", "position 8 is 'O'"),
        ({"chassis": "ZZBRT6L10KA04731"}, "chassis", "this one has 16"),
        ({"make": " "}, "make", "'Make' is missing"),
        ({"due": "soon"}, "due", "'due date' is not a date (got 'soon')"),
        ({"finish": "matt"}, "finish", "ot a valid choice"),
        ({"options": "x" * 121}, "options", "longer than 120"),
    ],
)
def test_each_fault_of_a_unit_stands_beside_its_field(plant, maud, wrong, field, sentence):
    answer = maud.send("/units/new", **{**UNIT, **wrong})

    assert answer.status_code == 422
    assert sentence in fault_beside(answer, field)
    assert units(plant.journal) == []


def test_an_inspector_adds_the_van_at_the_door_but_imports_no_list(plant, client_as):
    ines = Desk(client_as("ines"))

    assert "/setup/" not in ines.get("/units/new").text
    assert "Add a unit" in ines.words("/units")
    assert "Import a list" not in ines.words("/units")
    assert (
        ines.send("/setup/units/import", page="/sign-out", file=(io.BytesIO(listed(*GOOD)), "u.csv")).status_code == 403
    )
    assert ines.send("/units/new", **UNIT).status_code == 302
    assert [unit["last_six"] for unit in units(plant.journal)] == ["047312"]


def test_a_technician_adds_no_unit_and_is_offered_none(plant, client_as):
    per = Desk(client_as("per"))

    assert per.send("/units/new", page="/sign-out", **UNIT).status_code == 403
    assert "/units/new" not in per.get("/units").text + per.get("/units/find?last6=047312").text
    assert units(plant.journal) == []


# ------------------------------------------------------------------ a list on the page


def test_good_rows_come_in_and_each_bad_row_is_told_with_its_line_and_reason(plant, maud):
    answer = upload(maud, listed(GOOD[0], "", BAD, GOOD[1]))

    report = maud.get(answer.headers["Location"])
    assert "2 units came in, 1 row was not taken." in said(report)
    assert "4 'chassis number' 'ZZBRT6LO0KA047313': position 8 is 'O'" in said(report)
    assert [unit["build_number"] for unit in units(plant.journal)] == ["HB-1", "HB-2"]


def test_a_control_character_costs_its_row_alone_and_its_place_is_told(plant, maud):
    answer = upload(maud, listed(GOOD[0], GOOD[1].replace("Tourer", "Tou\x07rer")))

    report = maud.get(answer.headers["Location"])
    assert "1 unit came in, 1 row was not taken." in said(report)
    assert "3 character 4 of 'model' cannot be printed (it is U+0007); write the cell again by hand" in said(report)
    assert [unit["build_number"] for unit in units(plant.journal)] == ["HB-1"]


def test_the_rows_not_taken_come_back_as_a_file_that_can_be_mended_and_imported(plant, maud):
    location = upload(maud, listed(GOOD[0], BAD)).headers["Location"]
    file = maud.get(f"{location}/rows.csv")

    mended = file.text.replace("ZZBRT6LO0KA047313", "ZZBRT6L30KA047313").replace("matt", "solid")
    report = maud.words(upload(maud, mended.encode()).headers["Location"])

    assert file.headers["Content-Disposition"] == 'attachment; filename="units.bad.csv"'
    assert "1 unit came in." in report
    assert len(units(plant.journal)) == 2


def test_a_list_imported_twice_adds_nothing_twice(plant, maud):
    upload(maud, listed(*GOOD))

    report = maud.words(upload(maud, listed(*GOOD)).headers["Location"])

    assert "0 units came in, 2 were here already." in report
    assert len(units(plant.journal)) == 2


def test_units_that_a_manager_imports_have_the_manager_as_author(plant, maud):
    upload(maud, listed(*GOOD))

    authors = plant.journal.read().execute("SELECT DISTINCT person FROM events WHERE type = 'unit_arrived'").fetchall()
    assert [row["person"] for row in authors] == [plant.people["maud"]]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "'List of units' is missing"),
        (b"PK\x03\x04 a spreadsheet", "This is a spreadsheet, not a CSV file"),
        (b"make;model\r\nBrennach;Tourer 6\r\n", "The header lacks"),
        (b"\x00\x01\x02", "This is not a text file"),
    ],
)
def test_a_file_that_is_no_list_is_refused_beside_its_field(plant, maud, data, sentence):
    answer = upload(maud, data) if data else maud.send("/setup/units/import")

    assert answer.status_code == 422
    assert sentence in fault_beside(answer, "file")
    assert units(plant.journal) == []


def test_a_report_that_is_no_longer_kept_says_what_to_do(maud):
    page = maud.get("/setup/units/import/0123456789abcdef")

    assert page.status_code == 404
    assert "import the list again, nothing comes in twice" in said(page)


# ------------------------------------------------------------------ by the command


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "units.csv"
    path.write_bytes(listed(GOOD[0], "", BAD, GOOD[1]))
    return path


def test_the_command_takes_good_rows_writes_bad_ones_beside_and_tells_both(tmp_path, file):
    command = [sys.executable, "-m", "inspect_app", "units", "import", str(file), "--data", str(tmp_path / "plant")]

    ran = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)

    assert (ran.returncode, ran.stdout) == (1, "2 units came in, 1 row was not taken.\n")
    assert "line 4: 'chassis number' 'ZZBRT6LO0KA047313': position 8 is 'O'" in ran.stderr
    (back,) = read_units((tmp_path / "units.bad.csv").read_bytes()).bad
    assert "matt" in back.reason


def test_the_command_run_twice_adds_nothing_twice_and_all_of_it_verifies(tmp_path, file, capsys):
    bring_file(file, tmp_path / "plant")
    capsys.readouterr()

    assert bring_file(file, tmp_path / "plant") == 1

    assert capsys.readouterr().out == "0 units came in, 2 were here already, 1 row was not taken.\n"
    with Journal(tmp_path / "plant") as journal:
        assert len(units(journal)) == 2
    assert verify(tmp_path / "plant").clean


def test_the_command_answers_0_and_writes_no_file_when_every_row_is_in(tmp_path, file):
    file.write_bytes(listed(*GOOD))

    assert bring_file(file, tmp_path / "plant") == 0
    assert not (tmp_path / "units.bad.csv").exists()


def test_while_a_server_runs_the_command_names_the_page_in_one_sentence(plant, file, capsys):
    from inspect_app.cli import main

    code = main(["units", "import", str(file), "--data", str(plant.journal.folder.path)])

    told = capsys.readouterr().err.strip().splitlines()
    assert code == 1
    assert told[-1].endswith("bring the file in on its page under Setup, Units, or stop it first.")


@pytest.mark.parametrize(("data", "sentence"), [(None, "cannot be read"), (b"PK\x03\x04", "This is a spreadsheet")])
def test_the_command_says_in_one_line_why_a_file_is_no_list(tmp_path, capsys, data, sentence):
    path = tmp_path / "units.csv"
    if data is not None:
        path.write_bytes(data)

    assert bring_file(path, tmp_path / "plant") == 1

    told = capsys.readouterr().err
    assert sentence in told
    assert len(told.strip().splitlines()) == 1


def test_a_due_day_ends_at_the_plants_own_midnight(plant, maud):
    maud.send("/setup/settings", plant="Halden yard", timezone="America/Chicago", paper="a4")
    upload(maud, listed(GOOD[1]))

    # 2026-12-16 00:00 in Chicago, UTC-6 in winter, is 06:00 UTC; the last moment before it
    assert units(plant.journal)[0]["due"] == 1_797_400_800_000 - 1


def test_a_colours_name_gives_a_colour_to_show():
    assert colour_hex("Fjord grey metallic") == colour_hex("GREY")
    assert colour_hex("Night blue") != colour_hex("Blue")
    assert colour_hex("Nameless 4711") == GREY
