"""Forms and lists of units, filled in by somebody who means harm or whose program does."""

from __future__ import annotations

import bz2
import csv
import gzip
import html
import io
import json
import lzma
import re
import zipfile
from datetime import date

import pytest
from ground import Ground, is_a_sentence, told_of_the_inside

from inspect_app.rates.table import Line
from inspect_app.rooms.rates import sheet
from inspect_app.rooms.rates.blocks import Block
from inspect_app.rooms.units.bring import bring_file
from inspect_app.trade.units_csv import bad_rows_csv, read_units
from sample_units.hands import hire, new_id
from tests.rooms.who_may import DOORS, PAGE

HEAD = "plant;chassis number;build number;make;model;colour;finish;options;due date"
ROW = "Halden yard;{chassis};HB-1;Brennach;Tourer 6;Fjord grey;{finish};;"
SCRIPT = "<script>alert(1)</script>"
HOSTILE = (
    "", " ", "\0", "a\0b", "\x07\x1b[2J", "x" * 5_000, SCRIPT, '"><img src=x onerror=alert(1)>', "'; DROP TABLE units; --",
    "{{ 7 * 7 }}", "=cmd|' /C calc'!A0", "../../etc/passwd", "-1", "1e400", "9" * 400, "NaN", "٣٤٥٦", "2026-02-30",
    "0001-01-01", "99999-01-01", "true", "[]", "\u202egrey", "𝟚𝟘𝟚𝟞",
)  # fmt: skip
NAMES = (
    "name", "roles", "departments", "pin", "again", "code", "token", "person", "next", "plant", "timezone", "paper", "admitting",
    "chassis", "build_number", "make", "model", "colour", "finish", "options", "due", "place", "keys", "agreed", "answer",
    "reason", "inspects", "file", "save",
    "label", "short", "origin", "why", "made_from", "keep", "text", "measure", "unit", "sizes", "everyday", "method", "pictogram",
    "since", "stage", "six", "van", "booth", "mix", "sprayer", "out", "broken", "replaced", "parts", "material",
    "again-since", "again-stage", "again-six", "again-label", "back-reason",
    "part", "beside", "joint", "for_marker", "where", "film", "gap_start", "gap_middle", "gap_end", "flush_start", "scale", "grade",
    "air", "surface", "humidity", "kind", "zone", "marker",
    "a_any-max_size", "a_any-max_count", "a_any-raking_max_size", "a_any-text", "a_maker-max_size",
)  # fmt: skip
FORMS = [
    rule for (method, rule), door in DOORS.items() if method == "POST" and door.kind == PAGE and rule != "/sign-out"
]


@pytest.fixture(scope="module")
def somebody(ground: Ground, pin_hash: str) -> str:
    """Whom forms about people are about, so that nobody who is at work is sent away."""
    return hire(ground.journal, "Somebody Else", ("technician",), ("paint",), pin_hash=pin_hash)


@pytest.fixture(scope="module")
def desk(ground: Ground):
    """A manager who is an inspector too, at a desk with pages."""
    from tests.rooms.desk import Desk

    client = ground.app.test_client()
    answer = client.post(
        "/sign-in", json={"person": ground.plant.people["maud"], "pin": "2580"}, headers={"X-Lampwalk": "1"}
    )
    assert answer.status_code == 200, answer.text
    return Desk(client)


def _part_of(ground: Ground) -> str:
    """A part that is off the unit, taken off the first time it is asked for."""
    row = ground.journal.read().execute("SELECT id FROM parts WHERE unit = ?", (ground.unit,)).fetchone()
    if row is not None:
        return str(row["id"])
    part = new_id()
    ground.plant.dmytro.online(ground.unit, "part_off", {"part": part, "of": "moulding_cab_door_left"})
    return part


def _reading_of(ground: Ground) -> str:
    """A reading of the unit that did not pass, taken the first time it is asked for."""
    row = ground.journal.read().execute("SELECT id FROM readings WHERE unit = ?", (ground.unit,)).fetchone()
    if row is not None:
        return str(row["id"])
    told = {"reading": new_id(), "what": "film", "part": "cab_door_left", "method": "magnetic", "film": 3100}
    ground.plant.dmytro.online(ground.unit, "reading_taken", told)
    return str(told["reading"])


def addressed(ground: Ground, rule: str, somebody: str) -> str:
    unit = somebody if "/people/" in rule else "nib" if "/catalogue/" in rule else ground.unit
    unit = _part_of(ground) if rule.startswith("/parts/") else unit
    unit = _reading_of(ground) if rule.startswith("/readings/") else unit
    gaps = {"key": unit, "what": "gap", "question": "status", "marker": ground.marker, "part": "kinds", "number": "1"}
    return re.sub(r"<(\w+)>", lambda gap: gaps[gap[1]], rule)


def is_told_to_a_person(answer) -> None:
    """A page or a way on, nothing of the inside, and nothing of theirs that a browser would run."""
    assert answer.status_code < 500, answer.text[:500]
    told = told_of_the_inside(re.sub(r"<(script|link|style)[^>]*>", "", answer.text))
    assert not told, (told, answer.text[:500])
    assert SCRIPT not in answer.text
    assert "<img src=x" not in answer.text
    if answer.status_code in (403, 404, 409, 413):
        is_a_sentence(html.unescape(re.search(r"<p[^>]*>([^<]{10,})</p>", answer.text)[1]))


@pytest.mark.parametrize("rule", FORMS)
def test_no_form_is_brought_down_by_what_is_written_in_it(ground, desk, somebody, rule):
    token = re.search(r'name="csrf_token"[^>]* value="([^"]+)"', desk.get("/setup/people/new").text)[1]
    for n, value in enumerate(HOSTILE):
        fields = {name: HOSTILE[(n + at) % len(HOSTILE)] if n % 2 else value for at, name in enumerate(NAMES)}
        is_told_to_a_person(desk.client.post(addressed(ground, rule, somebody), data={"csrf_token": token, **fields}))
    assert desk.client.get("/setup/settings").status_code == 200


@pytest.mark.parametrize(
    "path", ["/units?page={}", "/units?show={}", "/units/find?last6={}", "/units/new?chassis={}", "/rates?from={}", "/rates?to={}",
             "/rates?kind={}", "/rates.csv?from={}", "/sign-in?next={}", "/floor/groups?group={}", "/units/{}", "/rework/{}",
             "/walk/{}", "/setup/people/{}", "/sheets/{}/A.pdf"],
)  # fmt: skip
def test_no_page_is_brought_down_by_what_is_in_its_address(desk, path):
    from urllib.parse import quote

    for value in HOSTILE:
        is_told_to_a_person(desk.get(path.format(quote(value, safe=""))))


def test_what_nobody_can_print_does_not_get_into_the_history(ground):
    found = [
        text
        for (text,) in ground.journal.read().execute(
            "SELECT body FROM events WHERE stream <> 'plant' UNION ALL SELECT content FROM private"
        )
        if re.search(r"\\u00(0[0-8ef]|1[0-9a-f]|7f)", text)
    ]

    assert found == []


# ---------------------------------------------------------------------------------------------- lists of units


def brought(desk, data: bytes, name: str = "units.csv"):
    return desk.send("/setup/units/import", file=(io.BytesIO(data), name))


def zip_bomb() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        archive.writestr("units.csv", bytes(50_000_000))
    return out.getvalue()


LISTS = {
    "a ZIP bomb": (zip_bomb, "spreadsheet"),
    "a gzip bomb": (lambda: gzip.compress(bytes(1_000_000), 1) * 50, "packed file"),
    "a bzip2 bomb": (lambda: bz2.compress(bytes(1_000_000), 1) * 50, "packed file"),
    "an xz bomb": (lambda: lzma.compress(bytes(5_000_000)), "packed file"),
    "nothing": (bytes, "empty|Choose a file"),
    "NULs": (lambda: bytes(1000), "not a text file"),
    "a page": (lambda: SCRIPT.encode() * 100, "header"),
    "a program": (lambda: b"\x7fELF" + bytes(100), "not a text file"),
    "a header of a million columns": (lambda: b";" * 1_000_000 + b"x", "header"),
    "a line of four megabytes": (lambda: HEAD.encode() + b"\n" + b"x" * 4_000_000, "line 2"),
    "a cell that never ends": (lambda: f'{HEAD}\n"'.encode() + b"x" * 4_000_000, "line 2"),
    "a row of a million cells": (lambda: HEAD.encode() + b"\n" + b"x;" * 1_000_000, "were not taken|row was not taken"),
    "half a letter": (lambda: HEAD.encode() + b"\n\xed\xa0\x80\x81\x8d", "cannot be read"),
}


@pytest.mark.parametrize("name", LISTS)
def test_a_list_that_is_none_is_refused_in_a_sentence_and_brings_nothing_in(ground, desk, name):
    make, words = LISTS[name]
    before = ground.kept()
    answer = brought(desk, make())
    if answer.status_code == 302:
        answer = desk.get(answer.location)

    assert re.search(words, html.unescape(answer.text)), answer.text[:2000]
    is_told_to_a_person(answer)
    assert ground.kept() == before


@pytest.mark.parametrize("size", [25_000_000, 50_000_000])
def test_a_line_of_fifty_megabytes_is_refused_by_the_page_and_by_the_command(ground, desk, tmp_path, capsys, size):
    data = HEAD.encode() + b"\n" + b"x" * size
    path = tmp_path / "units.csv"
    path.write_bytes(data)
    answer = brought(desk, data)

    assert answer.status_code in (413, 422)
    assert re.search("larger than 20 MB|too large", answer.text)
    assert bring_file(path, tmp_path / "data") == 1
    is_a_sentence(capsys.readouterr().err.strip().removeprefix(f"{path}: "))


# OWASP, "CSV Injection": cells that begin with one of these are calculated; the wide forms are calculated by some too.
FORMULAS = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "  =1",
    "\uff1d1",
    "=cmd|' /C calc'!A0",
    "=1;=2",
    '=1"',
    "roof, =1",
    "a\n=1",
    'b;"=1',
    "c\t-x",
]


def calculated(text: str, separators: str = ",;\t") -> list[str]:
    """Cells of a CSV file that a spreadsheet would calculate, whichever separator it takes; figures below nothing are none."""
    found = []
    for separator in separators:
        cells = (cell for row in csv.reader(io.StringIO(text, newline=""), delimiter=separator) for cell in row)
        found += [cell for cell in cells if re.match(r"\s*[=+@\uff1d]|\s*-(?!\d+(\.\d+)?$)", cell)]
    return found


@pytest.mark.parametrize("cell", FORMULAS)
def test_rejected_rows_hold_nothing_that_a_spreadsheet_calculates(desk, cell):
    quoted = '"' + cell.replace('"', '""') + '"'
    answer = brought(desk, f"{HEAD}\n{quoted};{quoted};{quoted};{quoted};M;C;matt;{quoted};{quoted}\n".encode())
    text = desk.get(f"{answer.location}/rows.csv").text

    assert cell.strip().replace("'", "") in text.replace('""', '"').replace("'", "")
    assert calculated(text) == []


@pytest.mark.parametrize("cell", FORMULAS)
def test_the_rates_hold_nothing_that_a_spreadsheet_calculates(cell):
    line = Line(key=cell, count=1, n=1.0, rate=1.0, low=0.0, high=5.6, assumed=None, hidden=cell)
    block = Block(by="kind", question="", head="", sentence="", labels={cell: cell}, lines=(line,), none=())
    text = sheet.rates_csv([block], date(2026, 1, 1), date(2026, 2, 1))

    assert cell.strip() in text.replace('""', '"')
    assert calculated(text, ",") == []


def test_a_list_brought_in_by_a_mended_file_of_rejected_rows_says_what_was_meant():
    rows = read_units(
        f"{HEAD}\n{ROW.format(chassis='ZZBRT6L10KA047312', finish='matt').replace('Fjord grey', '=Fjord')}\n"
    )
    mended = bad_rows_csv(rows.bad, separator=";").replace("matt", "solid")

    assert read_units(mended.encode()).rows[0].colour == "=Fjord"


# ---------------------------------------------------------------------------------------------- files of an outbox

OUTBOXES = {
    "lists in lists": b"[" * 100_000,
    "objects in objects": b'{"format":"lampwalk-outbox","version":1,"events":' + b'{"a":' * 900 + b"1" + b"}" * 901,
    "a picture": b"\xff\xd8\xff\xe0",
    "NaN": b'{"format":"lampwalk-outbox","version":NaN}',
    "events of another shape": json.dumps({"format": "lampwalk-outbox", "version": 1, "tablet": "x", "tickets": [], "events": {}}).encode(),
    "a hundred thousand events": json.dumps({"format": "lampwalk-outbox", "version": 1, "tablet": "x", "tickets": [], "events": [{}] * 100_000}).encode(),
    "halves of letters": json.dumps({"format": "lampwalk-outbox", "version": 1, "tablet": "\ud800", "tickets": ["\ud800"], "events": [{"id": "\ud800"}]}).encode(),
    "a photo of nothing": json.dumps({"format": "lampwalk-outbox", "version": 1, "tablet": "x", "tickets": [], "events": [], "photos": [{"photo": "\ud800", "data": "!!"}]}).encode(),
    "events that are none": json.dumps({"format": "lampwalk-outbox", "version": 1, "tablet": "x", "tickets": ["x"], "events": [1, None, [], "\ud800", {"id": 7, "seq": 10**400}]}).encode(),
}  # fmt: skip


@pytest.mark.parametrize("name", OUTBOXES)
def test_an_outbox_file_that_no_tablet_wrote_is_refused_or_told_entry_by_entry(ground, desk, name):
    before = ground.kept()
    answer = desk.send("/setup/outbox", file=(io.BytesIO(OUTBOXES[name]), "lampwalk-outbox.json"))
    assert answer.status_code in (302, 422), answer.text[:500]

    is_told_to_a_person(desk.get(answer.location) if answer.status_code == 302 else answer)
    after = ground.kept()
    assert {table for table in after if after[table] != before.get(table)} <= {"events", "streams", "outbox_files"}
    assert "units" in before


CATALOGUE_FORMS = {
    "departments": {"label": "Gel", "short": "Gel"},
    "gates": {"label": "Gel", "question": "Is it dry?", "lifted_by": "inspector"},
    "options": {"label": "fan", "brings": "roof.fan", "takes": "left.sill"},
    "methods": {"label": "dab", "steps": "Dab it.", "chain-0-department": "paint", "chain-0-minutes_base": "5",
                "chain-0-text": "Dab.", "cautions": "dust", "scope": "zone", "laps": "lamp", "waits_for": "refinish"},
}  # fmt: skip


@pytest.mark.parametrize("part", CATALOGUE_FORMS)
def test_no_form_of_the_catalogue_is_brought_down_field_by_field(ground, desk, part):
    path, good = f"/setup/catalogue/{part}/new", CATALOGUE_FORMS[part]
    token = re.search(r'name="csrf_token"[^>]* value="([^"]+)"', desk.get(path).text)[1]
    before = ground.journal.catalogue().hash

    for turn, name in enumerate((*good, "origin", "made_from", "film", "wait_minutes", "chain-99-department")):
        for value in HOSTILE[turn % 3 :: 3]:  # a third to each field, and each to a third of the fields
            is_told_to_a_person(desk.client.post(path, data={"csrf_token": token, "keep": "Keep", **good, name: value}))
    assert ground.journal.catalogue().hash == before
