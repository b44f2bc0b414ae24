"""One row of a units file: everything that is wrong with it, or the unit it stands for."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import tzinfo

from inspect_app.trade import vin
from inspect_app.trade.due_date import due_ms
from inspect_app.trade.units_columns import COLUMNS, MAY_LACK
from inspect_app.words import gettext as _

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
        return None if column in MAY_LACK else _("'%(column)s' is empty", column=column)
    if len(cell) > (LONGEST if column != "options" else 10 * LONGEST):
        return _("'%(column)s' is longer than %(most)s characters", column=column, most=LONGEST)
    if column == "options" and any(len(option.strip()) > LONGEST for option in _OPTIONS.split(cell)):
        return _("one of the 'options' is longer than %(most)s characters; part them by | or /", most=LONGEST)
    if not cell.isprintable():
        return _unprinted(column, cell)
    if column == "finish" and cell.casefold() not in FINISHES:
        return _("'finish' must be solid or metallic (got %(got)s)", got=repr(cell)[:40])
    try:
        if column == "chassis number":
            vin.normalise(cell)
        elif column == "due date":
            due_ms(cell, tz)
    except vin.VinError as error:
        return _("'chassis number' %(got)s: %(fault)s", got=repr(cell)[:40], fault=error)
    except ValueError as error:
        return str(error)
    return None


def _unprinted(column: str, cell: str) -> str:
    """Say where the first character stands that no paper shows, and which it is (U+hhhh, as Unicode writes them)."""
    at, sign = next((at, sign) for at, sign in enumerate(cell, 1) if not sign.isprintable())
    code = f"{ord(sign):04X}"
    return _(
        "character %(at)s of '%(column)s' cannot be printed (it is U+%(code)s); write the cell again by hand",
        at=at,
        column=column,
        code=code,
    )


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
            _(
                "the check digit of %(chassis)s does not hold, as in many European numbers; compare it with the plate",
                chassis=row.chassis,
            )
        )
    if other is not None:
        warnings.append(
            _("the chassis number stands on line %(line)s too, for another plant or build number", line=other)
        )
    return replace(row, warnings=tuple(warnings))
