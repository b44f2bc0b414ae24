"""The lines of the rates as CSV, safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from inspect_app.rooms.rates.blocks import Block
from inspect_app.rooms.rates.places import Place
from inspect_app.rooms.rates.widths import Joint

COLUMNS = (
    "by", "key", "label", "marks", "n", "of", "rate", "low", "high", "assumed_share", "not_shown", "from", "to",
)  # fmt: skip
GAPS = ("make", "joint", "label", "gaps", "mean", "slope", "low", "high", "drifts", "from", "to")
_FORMULA = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r]")  # what spreadsheets calculate: OWASP, CSV injection


OF_PARTS = ("booth", "sprayer")  # their marks are divided by painted parts, all others by vans


def rates_csv(blocks: Sequence[Block | Place], first: date, last: date) -> str:
    """Return a line for each line of each block, under one header. Rates are marks a van or part, with 95 % ends."""
    return _written(COLUMNS, _rows(blocks, first, last))


def gaps_csv(joints: Sequence[Joint], first: date, last: date) -> str:
    """Return a line for each make and joint, under a header of its own. Widths in mm, slopes in mm a week."""
    rows = [
        (
            one.make, one.key, one.joint, one.line.n, one.line.mean, one.line.slope, one.line.low, one.line.high,
            "yes" if one.line.is_seen else "no", first.isoformat(), last.isoformat(),
        )
        for one in joints
    ]  # fmt: skip
    return _written(GAPS, rows)


def _written(columns: Sequence[str], rows: Iterable[Iterable[object]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(columns)
    for row in rows:
        # A figure is one to a spreadsheet, too, with its sign: only words are kept from being calculated.
        writer.writerow([f"{cell:.4f}" if isinstance(cell, float) else harmless(cell) for cell in row])
    return out.getvalue()


def _rows(blocks: Sequence[Block | Place], first: date, last: date) -> Iterator[tuple[object, ...]]:
    for block in blocks:
        for line in block.lines:
            label = block.labels.get(line.key, line.key)
            figures = (_figure(line.rate), _figure(line.low), _figure(line.high))
            assumed = _figure(line.assumed) if block.by == "origin" else ""
            of = "parts" if block.by in OF_PARTS else "vans"
            told = (line.count, f"{line.n:g}", of, *figures, assumed, line.hidden or "")
            yield (block.by, line.key, label, *told, first.isoformat(), last.isoformat())


def _figure(value: float | None) -> str:
    return "" if value is None else f"{value:.4f}"


def harmless(cell: object) -> str:
    """A cell that no spreadsheet calculates: words that would be a formula get an apostrophe before them."""
    text = str(cell)
    return f"'{text}" if _FORMULA.match(text) else text
