"""Words of vans and notes in an index of letter triples, so that a search costs as much in the tenth year as in the first.

SQLite's FTS5 with the trigram tokenizer (3.34 or later) finds any part of a text of three letters or more. The texts are
folded by us before, for SQLite knows the letters of English alone. The index only narrows down: what it finds is held
against the words once more. Where this SQLite has no such tokenizer, and for words of one or two letters, every row is
read. It is no history: triggers keep it, and it is made anew whenever it does not stand as it must.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import cache

from inspect_app.journal.store import value

LEAST = 3  # letters of a word that the index can find
ABLE = "CREATE VIRTUAL TABLE temp.able USING fts5 (text, tokenize = 'trigram case_sensitive 1')"


def called(row: str = "") -> str:
    """The SQL of all that a van is called, folded; `row` stands before each column ("new.")."""
    names = f"{row}chassis || char(10) || {row}build_number || char(10) || {row}make || ' ' || {row}model"
    return f"folded({names} || char(10) || {row}colour)"


@dataclass(frozen=True, kw_only=True)
class Index:
    """What one index holds: `text` of the rows of `table` that `has` is true of, as SQL for a row named before."""

    name: str
    table: str
    columns: str
    text: str
    has: str

    def made(self) -> Iterator[str]:
        """The statements that make it, with its triggers, and fill it."""
        yield f"CREATE VIRTUAL TABLE {self.name} USING fts5 (key UNINDEXED, text, tokenize = 'trigram case_sensitive 1')"
        new = {"text": self.text.format(row="new."), "has": self.has.format(row="new.")}
        insert = (
            f"INSERT INTO {self.name} (rowid, key, text) SELECT new.rowid, new.id, {new['text']} WHERE {new['has']};"
        )
        delete = f"DELETE FROM {self.name} WHERE rowid = old.rowid AND {self.has.format(row='old.')};"
        yield f"CREATE TRIGGER {self.name}_made AFTER INSERT ON {self.table} WHEN {new['has']} BEGIN {insert} END"
        yield f"CREATE TRIGGER {self.name}_changed AFTER UPDATE OF {self.columns} ON {self.table} BEGIN {delete} {insert} END"
        old = {"text": self.text.format(row=""), "has": self.has.format(row="")}
        yield f"INSERT INTO {self.name} (rowid, key, text) SELECT rowid, id, {old['text']} FROM {self.table} WHERE {old['has']}"

    def gone(self) -> Iterator[str]:
        """The statements that take its triggers away; the table itself stays, since only FTS5 can drop it."""
        yield from (f"DROP TRIGGER IF EXISTS {self.name}_{when}" for when in ("made", "changed"))

    def stands(self, db: sqlite3.Connection) -> bool:
        """Tell whether it is there with a row for each it must have, the last of them under its own number."""
        if value(db, "SELECT count(*) FROM sqlite_master WHERE name = ?", (self.name,)) == 0:
            return False
        has = self.has.format(row="")
        rows = value(db, f"SELECT count(*) FROM {self.table} WHERE {has}")
        last = f"SELECT id FROM {self.table} WHERE {has} ORDER BY rowid DESC LIMIT 1"
        held = f"SELECT key FROM {self.name} ORDER BY rowid DESC LIMIT 1"
        return bool(
            rows == value(db, f"SELECT count(*) FROM {self.name}_docsize") and value(db, last) == value(db, held)
        )


UNITS = Index(
    name="units_sought",
    table="units",
    columns="chassis, build_number, make, model, colour",
    text=called("{row}"),
    has="1",
)
NOTES = Index(
    name="notes_sought", table="markers", columns="note", text="folded({row}note)", has="{row}note IS NOT NULL"
)


def prepare(db: sqlite3.Connection) -> None:
    """Bring the indexes up on the writing connection before anyone writes, or take their triggers away where this SQLite
    could not keep them.
    """
    db.execute("BEGIN IMMEDIATE")
    able = _is_able(ABLE)
    fresh = able and bool(value(db, "SELECT fresh FROM sought")) and all(one.stands(db) for one in (UNITS, NOTES))
    if not fresh:
        for index in (UNITS, NOTES):
            again = [f"DROP TABLE IF EXISTS {index.name}", *index.made()] if able else []
            for statement in (*index.gone(), *again):
                db.execute(statement)
        db.execute("UPDATE sought SET fresh = ?", (able,))
    db.execute("COMMIT")


@cache
def _is_able(statement: str) -> bool:
    """Try it on a database of its own: what this SQLite can do is the same for all."""
    with closing(sqlite3.connect(":memory:")) as db:
        try:
            db.execute(statement)
        except sqlite3.OperationalError:
            return False
    return True


def match(db: sqlite3.Connection, words: Sequence[str]) -> str | None:
    """What to ask an index for rows that hold each of the words; None where it can tell nothing of them."""
    folded = [word.casefold() for word in words]
    known = [word for word in folded if len(word) >= LEAST and "\0" not in word]
    if not known or not value(db, "SELECT fresh FROM sought"):
        return None
    return " AND ".join('"{}"'.format(word.replace('"', '""')) for word in known)
