"""Words are found through the index of letter triples as they are found without it, and it is made anew where it does not stand."""

from __future__ import annotations

import random

import pytest

from inspect_app.journal import sought, store
from inspect_app.journal.queries import units_list as query
from inspect_app.journal.verify import verify
from sample_units.hands import new_id

DOOR = "left.sliding_door_lower"
CALLED = (
    {"build_number": "HB-4711", "colour": "Fjord grey"},
    {"build_number": 'OV "19"', "colour": "Chalk white", "make": "Corvane", "model": "Longer 7"},
    {"build_number": "50%_A", "colour": "ÖRTLI red"},
    {"build_number": "", "colour": "Größe 9", "make": "Ďábel", "model": "Ψάρι Ω"},
    {"build_number": "AND OR", "colour": "near*", "make": "Straße", "model": "𝄞𝄞𝄞 tune"},
)
NOTES = ("Beside the Größe plate, under the handle", "on the sill", 'says "again" AND more', "HANDLE, inside", "x")


@pytest.fixture
def named(plant):
    """Vans that are called all sorts of things, each with a note."""
    for number, (called, note) in enumerate(zip(CALLED, NOTES, strict=True)):
        unit = plant.unit(f"{118940 + number * 7}", **called)
        mark(plant, unit, note)
    return plant


def mark(plant, unit, note):
    marker = new_id()
    body = {"marker": marker, "walk": None, "lap": "lamp", "kind": "nib", "tag": "B1", **plant.ines.spot(unit, DOOR)}
    assert plant.ines.do(unit, "marker_made", body, {"note": note}).outcome == "applied"
    return marker


def found(plant, *words):
    """The ids of the units and of the marks that hold the words."""
    db = plant.journal.read()
    rows, many = query.page(db, query.Wanted(show="all", words=words), now=0, limit=50, offset=0)
    assert many == len(rows)
    return {row["id"] for row in rows}, [row["id"] for row in query.noted(db, words, "nobody", 50)]


def without_index(plant, *words):
    """The same, read from row to row."""
    plant.journal.note("UPDATE sought SET fresh = 0", ())
    try:
        return found(plant, *words)
    finally:
        plant.journal.note("UPDATE sought SET fresh = 1", ())


def opened_anew(plant):
    """What a start does before anyone writes."""
    db = store.connect(plant.journal.folder.database)
    sought.prepare(db)
    db.close()


def is_asked(plant):
    return sought.match(plant.journal.read(), ["handle"]) is not None


def test_any_piece_of_what_is_known_is_found_as_it_is_without_the_index(named):
    lot = random.Random(4)
    texts = [" ".join(called.values()) for called in CALLED] + list(NOTES)
    for _ in range(60):
        text = lot.choice(texts)
        begins = lot.randrange(len(text))
        words = tuple(text[begins : begins + lot.randint(1, 9)].swapcase().split()) or ("zz",)
        assert found(named, *words) == without_index(named, *words), words

    assert found(named, "größe")[0]
    assert found(named, "HANDLE")[1]
    assert found(named, 'OV "19"')[0]


@pytest.mark.parametrize(
    "word", ["zzz", '"', '"""', "AND", "NEAR(", "*", "a\0bcd", "{text}:", "^abc", "ßßß", "\ud800abc"]
)
def test_no_word_is_an_order_to_the_index(named, word):
    found(named, word.encode("utf-8", "replace").decode())  # it answers, whatever it finds


def test_a_unit_that_is_corrected_and_a_note_that_is_replaced_are_found_by_what_they_say_now(named):
    unit = named.unit("777777", colour="Old blue")
    marker = mark(named, unit, "first words")
    named.maud.online(unit, "unit_corrected", {"colour": "New green"})
    named.ines.do(unit, "marker_amended", {"marker": marker, "size": 9}, {"note": "second thoughts"})

    assert [found(named, word)[0] for word in ("old blue", "new green")] == [set(), {unit}]
    assert [found(named, word)[1] for word in ("first", "second")] == [[], [marker]]
    opened_anew(named)
    assert is_asked(named)
    assert found(named, "new green")[0] == {unit}


def test_the_index_is_asked_and_not_every_row(named):
    asked: list[str] = []
    db = named.journal.read()
    db.set_trace_callback(asked.append)
    found(named, "handle")
    db.set_trace_callback(None)
    plans = [
        " | ".join(row["detail"] for row in db.execute(f"EXPLAIN QUERY PLAN {sql}")) for sql in asked if "instr(" in sql
    ]

    assert len(plans) == 2
    assert all("VIRTUAL TABLE INDEX" in plan for plan in plans)
    assert not any("SCAN units" in plan or "SCAN m " in plan for plan in plans)


def test_without_the_tokenizer_all_is_found_and_written_as_before_and_caught_up_with_later(named, monkeypatch):
    monkeypatch.setattr(sought, "ABLE", "CREATE VIRTUAL TABLE temp.able USING fts9 (text)")  # as where SQLite has none
    opened_anew(named)
    assert not is_asked(named)
    late = named.unit("555555", build_number="LATE-1")
    assert found(named, "late-1")[0] == {late}
    assert verify(named.journal.folder.path).clean

    monkeypatch.undo()
    opened_anew(named)
    assert is_asked(named)
    assert found(named, "late-1")[0] == {late}


def test_an_index_with_rows_missing_is_made_anew_at_the_next_start(named):
    unit = named.unit("666666", build_number="LOST-9")
    named.journal.note("DELETE FROM units_sought WHERE key = ?", (unit,))
    assert found(named, "lost-9")[0] == set()

    opened_anew(named)

    assert found(named, "lost-9")[0] == {unit}
