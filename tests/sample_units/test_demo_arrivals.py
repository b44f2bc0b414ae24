"""The export for the tutorial: as a shop makes it, most of it good."""

from __future__ import annotations

from pathlib import Path

from inspect_app.trade.units_csv import read_units
from inspect_app.trade.vin import check_digit_holds
from sample_units.marks import specs

FILE = Path(__file__).resolve().parents[2] / "sample_units" / "arrivals.csv"


def test_twelve_vans_come_in_and_two_rows_say_what_is_wrong_with_them():
    read = read_units(FILE.read_bytes())

    assert len(read.rows) == 12
    assert [row.line for row in read.bad] == [8, 14]
    assert "position 9 is 'O'" in read.bad[0].reason
    assert "'finish' must be" in read.bad[1].reason
    assert "'due date'" in read.bad[1].reason


def test_it_looks_like_an_export_with_a_mark_semicolons_quotes_and_blank_lines():
    data = FILE.read_bytes()

    assert data.startswith(b"\xef\xbb\xbf")
    assert data.count(b"\r\n\r\n") >= 3
    assert read_units(data).separator == ";"
    assert any('"' in row.model for row in read_units(data).rows)


def test_no_van_of_it_is_in_the_demo_already_and_every_plate_is_sound():
    numbers = [row.chassis for row in read_units(FILE.read_bytes()).rows]

    assert not set(numbers) & {spec.chassis for spec in specs()}
    assert all(check_digit_holds(number) for number in numbers)
