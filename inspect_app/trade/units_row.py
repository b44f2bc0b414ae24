"""One row of a units file: everything that is wrong with it, or the unit it stands for."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import tzinfo

from inspect_app.trade import vin
from inspect_app.trade.due_date import due_ms
from inspect_app.trade.units_columns import COLUMNS, MAY_LACK

FINISHES = ("solid", "metallic")
LONGEST = 120
_OPTIONS = re.compile(r"[|/;]")


@dataclass(frozen=True, kw_only=True)
class UnitRow:
    """One unit as the file has it. `line`: where its row begins; `due`: ms UTC; `warnings`: sentences, no refusals."""

    line: int
    plant: str
    chassis: str
    build_number: str
    make: str
    model: str
    colour: str
    finish: str
    options: tuple[str, ...]
    due: int | None
    warnings: tuple[str, ...] = ()


def faults(cells: Mapping[str, str], tz: tzinfo) -> list[str]:
    """Return everything that is wrong with a row, in the order of the columns, so that it is mended in one go."""
    return [fault for column in COLUMNS if (fault := _fault(column, cells.get(column, ""), tz))]


def _fault(column: str, cell: str, tz: tzinfo) -> str | None:
    if not cell:
        return None if column in MAY_LACK else f"'{column}' is empty"
    if len(cell) > (LONGEST if column != "options" else 10 * LONGEST):
        return f"'{column}' is longer than {LONGEST} characters"
    if column == "options" and any(len(option.strip()) > LONGEST for option in _OPTIONS.split(cell)):
        return f"one of the 'options' is longer than {LONGEST} characters; part them by | or /"
    if not cell.isprintable():
        return f"'{column}' holds characters that cannot be printed"
    if column == "finish" and cell.casefold() not in FINISHES:
        return f"'finish' must be solid or metallic (got {cell!r:.40})"
    try:
        if column == "chassis number":
            vin.normalise(cell)
        elif column == "due date":
            due_ms(cell, tz)
    except vin.VinError as error:
        return f"'chassis number' {cell!r:.40}: {error}"
    except ValueError as error:
        return str(error)
    return None


def made(line: int, cells: Mapping[str, str], tz: tzinfo) -> UnitRow:
    """Return the unit of a row without faults."""
    options = (option.strip() for option in _OPTIONS.split(cells.get("options", "")))
    return UnitRow(
        line=line,
        plant=cells["plant"],
        chassis=vin.normalise(cells["chassis number"]),
        build_number=cells["build number"],
        make=cells["make"],
        model=cells["model"],
        colour=cells["colour"],
        finish=cells["finish"].casefold(),
        options=tuple(dict.fromkeys(option for option in options if option)),
        due=due_ms(cells["due date"], tz) if cells.get("due date") else None,
    )


def warned(row: UnitRow, other: int | None) -> UnitRow:
    """Return the row with what should be looked at; `other` is the line that has its chassis number first, if any."""
    warnings = []
    if not vin.check_digit_holds(row.chassis):
        warnings.append(
            f"the check digit of {row.chassis} does not hold, as in many European numbers; compare it with the plate"
        )
    if other is not None:
        warnings.append(f"the chassis number stands on line {other} too, for another plant or build number")
    return replace(row, warnings=tuple(warnings))
