"""The columns of a units file: what they may be called, which must be there, which separator the header speaks for."""

import re
from collections.abc import Mapping, Sequence

from inspect_app.trade.units_text import Record, UnitsFileError, records, without_separator_line
from inspect_app.words import gettext as _
from inspect_app.words.listed import all_of

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "plant": ("plant", "site", "works", "workshop"),
    "chassis number": ("chassis number", "chassis no", "chassis nr", "chassis", "vin", "vin number", "vin no"),
    "build number": ("build number", "build no", "build nr", "build"),
    "make": ("make", "chassis make", "maker"),
    "model": ("model", "chassis model"),
    "colour": ("colour", "color", "paint colour", "paint color", "colour name", "color name"),
    "finish": ("finish", "paint finish"),
    "options": ("options", "option", "extras"),
    "due date": ("due date", "due", "due by", "date due"),
}
"""Each column and the header names understood for it; capitals, spaces and punctuation do not matter."""
MAY_LACK = frozenset({"options", "due date"})
OURS = frozenset({"line", "reason"})
"""Columns that the file of bad rows adds; passed over when it comes back mended."""
_NOT_A_LETTER = re.compile(r"[\W_]+")


def _plain(name: str) -> str:
    return _NOT_A_LETTER.sub("", name).casefold()


_BY_NAME = {_plain(name): column for column, names in COLUMNS.items() for name in names}


def split(text: str) -> tuple[str, list[Record]]:
    """Return the separator of `text` and its records, the header first.

    Raises UnitsFileError when no separator makes a header of the first line.
    """
    text, before, separators = without_separator_line(text)
    best = max(separators, key=lambda separator: _known(text, separator))
    if _known(text, best) < 2:
        raise UnitsFileError(
            _(
                "The first line is no header: it must name the columns %(columns)s, separated by commas, semicolons"
                " or tabs.",
                columns=all_of(COLUMNS),
            )
        )
    return best, list(records(text, best, lines_before=before))


def _known(text: str, separator: str) -> int:
    """Return how many names of columns the first record holds with this separator."""
    try:
        first = next(records(text, separator), None)
    except UnitsFileError:
        return 0
    return len({_BY_NAME.get(_plain(name)) for name in first.cells} - {None}) if first else 0


def positions(header: Sequence[str]) -> dict[str, int]:
    """Return at which position each column stands.

    Raises UnitsFileError, naming them, for columns that are unknown, twice there, or missing.
    """
    found: dict[str, int] = {}
    for at, name in enumerate(header):
        column = _BY_NAME.get(_plain(name))
        if column is None and _plain(name) in OURS:
            continue
        if column is None:
            raise UnitsFileError(
                _(
                    "Column %(number)s (%(name)s) is not known: the columns are %(columns)s; rename it or take it out.",
                    number=at + 1,
                    name=repr(name.strip())[:60],
                    columns=all_of(COLUMNS),
                )
            )
        if column in found:
            raise UnitsFileError(
                _(
                    "Columns %(first)s and %(second)s both give the %(column)s: take one of them out.",
                    first=found[column] + 1,
                    second=at + 1,
                    column=column,
                )
            )
        found[column] = at
    missing = [column for column in COLUMNS if column not in found and column not in MAY_LACK]
    if missing:
        raise UnitsFileError(
            _("The header lacks %(columns)s: add what is missing and import the file again.", columns=all_of(missing))
        )
    return found
