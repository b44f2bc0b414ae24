"""Units from CSV files as shops export them: what is taken, what is refused and why, and the way back.

Quoting is that of RFC 4180. Chassis numbers with a check digit that holds: 49 CFR 565 sample table, and one widely
published.
"""

import csv
import io
import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.trade.units_csv import BadRow, UnitsFile, UnitsFileError, bad_rows_csv, read_units

HEADER = "plant,chassis number,build number,make,model,colour,finish,options,due date"
GOOD = "North,1M8GDM9AXKP042788,B-101,Brenholt,Carrier L3,Mist grey,solid,roof fan|tow bar,2026-03-14"
VIN, OTHER_VIN = "1M8GDM9AXKP042788", "1G4AH59H45G118341"
EUROPEAN = "XX9TESTVANA000312"  # invented; its check digit does not hold


def read(*lines, **options):
    return read_units("\n".join(lines).encode(), **options)


def cells(**changed):
    made = dict(zip(HEADER.split(","), GOOD.split(","), strict=True))
    return list((made | {name.replace("_", " "): value for name, value in changed.items()}).values())


def row(**changed):
    out = io.StringIO()
    csv.writer(out).writerow(cells(**changed))
    return out.getvalue().rstrip("\r\n")


def only_reason(*lines):
    held = read(*lines)
    assert (len(held.rows), len(held.bad)) == (0, 1), held
    return held.bad[0].reason


def ms(*parts, tz=UTC):
    return round(datetime(*parts, tzinfo=tz).timestamp() * 1000)


def test_a_plain_file_gives_its_unit():
    held = read(HEADER, GOOD)

    assert not held.bad
    unit = held.rows[0]
    assert (unit.line, unit.plant, unit.chassis, unit.build_number) == (2, "North", VIN, "B-101")
    assert (unit.make, unit.model, unit.colour, unit.finish) == ("Brenholt", "Carrier L3", "Mist grey", "solid")
    assert (unit.options, unit.warnings) == (("roof fan", "tow bar"), ())
    assert unit.due == ms(2026, 3, 14, 23, 59, 59, 999000)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_whatever_a_program_exports_is_read_the_same(separator, ending, encoding):
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator=ending)
    writer.writerows([HEADER.split(","), [], cells(colour='Grün, "Moos"; hell', make="Bréñholt")])
    held = read_units(out.getvalue().encode(encoding))

    assert (held.bad, held.separator) == ((), separator)
    assert (held.rows[0].colour, held.rows[0].make, held.rows[0].line) == ('Grün, "Moos"; hell', "Bréñholt", 3)


def test_the_separator_is_found_by_the_header_not_by_counting():
    held = read(HEADER.replace(",", ";"), GOOD.replace(",", ";").replace("|", ",,,,,,,,,,,,,,,,"))

    assert held.separator == ";"
    assert held.rows[0].build_number == "B-101"


@pytest.mark.parametrize(
    "header",
    [
        "Plant,VIN,Build no.,Make,Model,Color,Finish,Options,Due",
        "PLANT,Chassis No,BUILD NUMBER,make,model,COLOUR,finish,options,Due-Date",
        '"Plant ","chassis_number","Build_No","Make","Model","Colour","Finish","Options","due date"',
    ],
)
def test_header_names_are_taken_as_people_write_them(header):
    assert read(header, GOOD).rows == read(HEADER, GOOD).rows


def test_columns_may_stand_in_any_order_and_options_and_due_date_may_lack():
    held = read("finish,colour,model,make,build number,chassis number,plant", f"METALLIC,Red,L3,Brenholt,7,{VIN},North")

    assert (held.rows[0].finish, held.rows[0].plant, held.rows[0].options, held.rows[0].due) == (
        "metallic",
        "North",
        (),
        None,
    )


def test_empty_columns_at_the_end_are_passed_over():
    assert read(f"{HEADER},,,", f"{GOOD},,", ",,,,,,,", "").rows == read(HEADER, GOOD).rows


def test_a_separator_line_before_the_header_is_obeyed_and_counted():
    held = read("sep=;", HEADER.replace(",", ";"), GOOD.replace(",", ";"))

    assert (held.separator, held.rows[0].line) == (";", 3)


def test_line_numbers_are_those_of_an_editor_even_with_line_breaks_in_cells():
    held = read(HEADER, row(model="Carrier\nL3\nlong"), "", row(chassis_number=OTHER_VIN), row(finish="matt"))

    assert [unit.line for unit in held.rows] == [2, 6]
    assert held.rows[0].model == "Carrier L3 long"
    assert held.bad[0].line == 7


@pytest.mark.parametrize(
    "options", ["roof fan|tow bar", "roof fan / tow bar", "roof fan;tow bar;", "roof fan||tow bar|roof fan"]
)
def test_options_are_separated_by_strokes_or_semicolons(options):
    assert read(HEADER, row(options=options)).rows[0].options == ("roof fan", "tow bar")


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("2026-03-14", (2026, 3, 14, 23, 59, 59, 999000)),
        ("14/03/2026", (2026, 3, 14, 23, 59, 59, 999000)),
        ("4.3.2026", (2026, 3, 4, 23, 59, 59, 999000)),
        ("2026-03-14 14:30", (2026, 3, 14, 14, 30)),
        ("14/03/2026 00:00", (2026, 3, 14)),
        ("14.03.2026 7:05:09", (2026, 3, 14, 7, 5, 9)),
        ("2026-03-14T14:30:00Z", (2026, 3, 14, 14, 30)),
        ("2026-03-14T14:30:00.250+02:00", (2026, 3, 14, 12, 30)),
        ("29/02/2028", (2028, 2, 29, 23, 59, 59, 999000)),
    ],
)
def test_dates_are_read_as_people_write_them(text, parts):
    assert read(HEADER, row(due_date=text)).rows[0].due == ms(*parts)


@given(day=st.datetimes(datetime(2000, 1, 1), datetime(2099, 12, 31)), hours=st.integers(-12, 14))
def test_a_day_ends_where_the_plant_is(day, hours):
    zone = timezone(timedelta(hours=hours))
    due = read(HEADER, row(due_date=day.strftime("%Y-%m-%d")), tz=zone).rows[0].due

    assert due == ms(day.year, day.month, day.day, 23, 59, 59, 999000, tz=zone)


class SpringForward(tzinfo):
    """A zone whose 29 March 2026 has 23 hours, as in central Europe."""

    def utcoffset(self, when):
        return timedelta(hours=1 if when.replace(tzinfo=None) < datetime(2026, 3, 29, 3) else 2)

    def dst(self, when):
        return self.utcoffset(when) - timedelta(hours=1)


def test_the_end_of_a_day_of_23_hours_is_its_end():
    due = read(HEADER, row(due_date="2026-03-29"), tz=SpringForward()).rows[0].due

    assert due == ms(2026, 3, 29, 21, 59, 59, 999000)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"due_date": "03/14/2026"}, r"'due date' is a day or time that does not exist .*write it as 2026-03-14"),
        ({"due_date": "29/02/2027"}, "does not exist"),
        ({"due_date": "2026-03-14 24:01"}, "does not exist"),
        ({"due_date": "14/03/26"}, "'due date' is not a date"),
        ({"due_date": "14/03.2026"}, "'due date' is not a date"),
        ({"due_date": "next week"}, "'due date' is not a date"),
        ({"due_date": "1026-03-14"}, "the year 1026"),
        ({"finish": "matt"}, "'finish' must be solid or metallic .got 'matt'"),
        ({"finish": ""}, "^'finish' is empty$"),
        ({"plant": "  "}, "^'plant' is empty$"),
        ({"chassis_number": "1M8GDM9AXKP04278"}, "'chassis number' '1M8GDM9AXKP04278': .*17 characters.* 16"),
        ({"chassis_number": "1M8GDM9AXKPO42788"}, "'chassis number' .*position 12.*is it 0"),
        ({"model": "x" * 121}, "'model' is longer than 120 characters"),
        (
            {"make": "Bren\u200bholt"},
            r"^character 5 of 'make' cannot be printed \(it is U\+200B\); write the cell again",
        ),
        ({"colour": "Mist\x07 grey"}, r"^character 5 of 'colour' cannot be printed \(it is U\+0007\)"),
        ({"model": "\x1fL3"}, r"^character 1 of 'model' cannot be printed \(it is U\+001F\)"),
        ({"model": "L3\v"}, r"^character 3 of 'model' cannot be printed \(it is U\+000B\)"),
        ({"plant": "\x1b"}, r"^character 1 of 'plant' cannot be printed \(it is U\+001B\)"),
    ],
)
def test_a_bad_cell_is_named_with_what_to_do(changed, words):
    assert re.search(words, only_reason(HEADER, row(**changed)))


def test_everything_wrong_with_a_row_is_said_at_once():
    reason = only_reason(HEADER, row(finish="matt", plant="", due_date="soon"))

    assert [part.split()[0] for part in reason.split("; ")] == ["'plant'", "'finish'", "'due", "write"]


def test_a_row_with_too_many_cells_is_bad_and_one_with_too_few_lacks_the_last():
    held = read(HEADER, GOOD + ",more", ",".join(cells(chassis_number=OTHER_VIN)[:7]))

    assert "10 cells, the header 9" in held.bad[0].reason
    assert (held.rows[0].options, held.rows[0].due) == ((), None)


def test_good_rows_are_taken_beside_bad_ones():
    held = read(HEADER, row(finish=""), GOOD, row(plant=""))

    assert ([unit.line for unit in held.rows], [bad.line for bad in held.bad]) == ([3], [2, 4])


def test_a_chassis_number_is_taken_as_it_is_typed():
    assert read(HEADER, row(chassis_number="1m8gdm9ax kp-042788")).rows[0].chassis == VIN


def test_a_check_digit_that_does_not_hold_is_a_warning_and_no_refusal():
    held = read(HEADER, row(chassis_number=EUROPEAN))

    assert not held.bad
    assert held.rows[0].warnings == (
        f"the check digit of {EUROPEAN} does not hold, as in many European numbers; compare it with the plate",
    )


def test_the_same_unit_again_is_bad_and_names_the_first_line():
    again = row(chassis_number=VIN.lower(), plant="NORTH", build_number="b-101", colour="Red")

    held = read(HEADER, GOOD, row(chassis_number=OTHER_VIN), again)

    assert [unit.line for unit in held.rows] == [2, 3]
    assert (held.bad[0].line, "on line 2 already" in held.bad[0].reason) == (4, True)


def test_a_mended_row_after_its_bad_one_is_taken():
    assert [unit.line for unit in read(HEADER, row(finish="matt"), GOOD).rows] == [3]


def test_the_same_chassis_under_another_build_number_is_a_warning():
    held = read(HEADER, GOOD, row(build_number="B-102"))

    assert held.rows[1].warnings == ("the chassis number stands on line 2 too, for another plant or build number",)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "The file is empty"),
        (b"\xef\xbb\xbf\r\n , ,\r\n", "The file is empty"),
        (GOOD.encode(), "The first line is no header"),
        (b"just some words\n", "The first line is no header"),
        (f"{HEADER},price\n{GOOD},9".encode(), "Column 10 .'price'. is not known"),
        (f"{HEADER},VIN\n".encode(), "Columns 2 and 10 both give the chassis number"),
        (b"plant,vin,model,options\n", "The header lacks build number, make, colour and finish"),
        (b"PK\x03\x04 and more", "This is a spreadsheet"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR", "This is not a text file"),
        (f"{HEADER}\n{GOOD}".encode("utf-16-le"), "This is not a text file"),
        (HEADER.encode() + b"\n\x81\x8d\xff", "letters cannot be read"),
        (f'{HEADER}\n{GOOD}\n{row(model="a")[:40]},"open\n{GOOD}\n'.encode(), "begins on line 3 do not pair up"),
        (f'{HEADER}\nNorth,"a"b,\n'.encode(), "begins on line 2 do not pair up"),
        (f"{HEADER}\n".encode() + b"x" * 200_000, "begins on line 2"),
        (b"x" * 20_000_001, "larger than 20 MB"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_with_a_sentence(data, words):
    with pytest.raises(UnitsFileError, match=words) as caught:
        read_units(data)
    assert re.fullmatch(r"[^\n]+[.]", str(caught.value))


def test_a_header_alone_is_a_file_without_units():
    assert read(HEADER) == UnitsFile(rows=(), bad=(), separator=",")


def test_bad_rows_go_out_in_their_own_columns_and_come_back_mended():
    held = read(HEADER.replace("colour", "Color"), row(finish="matt", colour="Sand, light"), GOOD)
    text = bad_rows_csv(held.bad)
    first, second = csv.reader(io.StringIO(text))

    assert first == [*HEADER.replace("colour", "Color").split(","), "line", "reason"]
    assert second[5:7] + second[9:10] == ["Sand, light", "matt", "2"]
    mended = read_units(text.replace("matt", "solid", 1).encode("utf-8-sig"))
    assert (mended.bad, mended.rows[0].colour) == ((), "Sand, light")


def test_a_file_of_bad_rows_does_not_grow_more_columns_each_time():
    text = bad_rows_csv(read(HEADER, row(finish="matt")).bad)

    assert bad_rows_csv(read_units(text).bad) == text


def test_cells_beyond_the_header_are_not_lost():
    text = bad_rows_csv(read(HEADER, GOOD + ",over,more").bad)

    assert next(csv.DictReader(io.StringIO(text)))[None] == ["over", "more"]


def test_no_bad_rows_make_no_file():
    assert bad_rows_csv(()) == ""


# OWASP, "CSV Injection": cells that begin with these are calculated by spreadsheets.
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", "\r=", " =", "\uff1d"])
def test_no_cell_is_written_that_a_spreadsheet_would_calculate(start):
    cell = f"{start}HYPERLINK(1)"
    held = read(HEADER, row(plant=cell, finish="matt"))
    written = next(csv.DictReader(io.StringIO(bad_rows_csv(held.bad), newline="")))

    assert written["plant"].startswith("'")
    assert written["plant"].replace("'", "") == cell
    back = read_units(bad_rows_csv(held.bad).replace("matt", "solid", 1))
    assert back.rows[0].plant == cell.strip()


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=20)


@settings(max_examples=150, deadline=None)
@given(
    plant=WORDS,
    colour=WORDS,
    separator=st.sampled_from([",", ";", "\t"]),
    quoting=st.sampled_from([csv.QUOTE_ALL, csv.QUOTE_MINIMAL]),
)
def test_any_words_survive_any_quoting(plant, colour, separator, quoting):
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, quoting=quoting)
    writer.writerows([HEADER.split(","), cells(plant="x" + plant, colour="x" + colour)])
    unit = read_units(out.getvalue().encode()).rows[0]

    assert (unit.plant, unit.colour) == ("x" + plant, "x" + colour)


@settings(max_examples=150, deadline=None)
@given(fields=st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12), max_size=11))
def test_a_bad_row_written_and_read_again_is_bad_for_the_same_reason(fields):
    header = tuple(HEADER.split(","))
    written = bad_rows_csv([BadRow(line=2, reason="because", header=header, fields=(*fields[:6], "matt", *fields[6:]))])
    try:
        once = read_units(written)
    except UnitsFileError:
        return  # control characters: the file it came from would have been refused too
    assert [bad.reason for bad in read_units(bad_rows_csv(once.bad)).bad] == [bad.reason for bad in once.bad] != []


@settings(max_examples=300, deadline=None)
@given(
    start=st.sampled_from([b"", HEADER.encode() + b"\n", f"{HEADER}\n{GOOD}\n".encode()]), rest=st.binary(max_size=200)
)
def test_no_bytes_make_it_fail_in_any_other_way(start, rest):
    try:
        held = read_units(start + rest)
    except UnitsFileError as error:
        assert str(error).endswith(".")  # noqa: PT017, either outcome is right
    else:
        assert all(bad.reason for bad in held.bad)
