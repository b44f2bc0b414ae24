"""On which line of a TOML text a value stands. tomllib reads values and forgets where they stood."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from typing import Any

HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
KEY = re.compile(r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=""")
_SIMPLE = r"""\s*(?:"(?!"")[^"\\]*"|'(?!'')[^']*'|-?[0-9]+|true|false)\s*"""
SIMPLE = re.compile(rf"{_SIMPLE}(?:#.*)?")  # a value that ends with its line
ELEMENT = re.compile(rf"{_SIMPLE},\s*(?:#.*)?")  # one of a list, on a line of its own
BARE = re.compile(r"[A-Za-z0-9_-]+(?:\.[A-Za-z0-9_-]+)*")

Place = tuple[str | int, ...]


class Lines:
    """The lines of a TOML text that tomllib can read. A list's elements are counted from 0."""

    def __init__(self, text: str):
        self._at: dict[Place, int] = {}
        self._seen: dict[Place, int] = {}
        table: Place = ()
        rows = enumerate(text.splitlines(), 1)
        for number, line in rows:
            header = HEADER.match(line)
            if header:
                table = self._table(_names(header[2]), many=header[1] == "[[")
                self._at.setdefault(table, number)
            elif key := KEY.match(line):
                self._value((*table, *_names(key[1])), number, line, rows)

    def of(self, place: Place) -> int | None:
        """Return the line (from 1) of a value, or of the nearest thing in or around it that has one; None: nowhere."""
        while place:
            if place in self._at:
                return self._at[place]
            inside = [line for known, line in self._at.items() if known[: len(place)] == place]
            if inside:
                return min(inside)
            place = place[:-1]
        return None

    def _table(self, names: list[str], *, many: bool) -> Place:
        """Return the place of a table; each `[[x]]` is the next element of x, to which what follows belongs."""
        place: Place = ()
        for number, name in enumerate(names, 1):
            place = (*place, name)
            if place in self._seen and not (many and number == len(names)):
                place = (*place, self._seen[place])
        if many:
            self._seen[place] = self._seen.get(place, -1) + 1
            place = (*place, self._seen[place])
        return place

    def _value(self, place: Place, number: int, line: str, rows: Iterator[tuple[int, str]]) -> None:
        """Note a value and the elements of a list, and pass over the lines that it goes on for."""
        self._at.setdefault(place, number)
        told = line.split("=", 1)[1]
        if SIMPLE.fullmatch(told):
            return
        text, held = "v = " + told, 0
        if told.strip() == "[":
            for number, line in rows:
                text += "\n" + line
                if not ELEMENT.fullmatch(line):
                    break
                self._at.setdefault((*place, held), number)
                held += 1
        while True:
            whole = _read(text)
            part = whole if whole is not None else _read(_cut(text) + "]")
            for element in range(held, len(part) if isinstance(part, list) else 0):
                self._at.setdefault((*place, element), number)
            held = max(held, len(part) if isinstance(part, list) else 0)
            if whole is not None:
                return
            try:
                number, line = next(rows)
            except StopIteration:
                return
            text += "\n" + line


def _cut(text: str) -> str:
    return text.rstrip().rstrip(",")


def _read(text: str) -> Any:
    try:
        return tomllib.loads(text)["v"]
    except (tomllib.TOMLDecodeError, KeyError):
        return None


def _names(dotted: str) -> list[str]:
    """Return the names of a dotted key."""
    if BARE.fullmatch(dotted):
        return dotted.split(".")
    table: Any = tomllib.loads(f"{dotted} = 0")
    names = []
    while isinstance(table, dict):
        name, table = next(iter(table.items()))
        names.append(name)
    return names
