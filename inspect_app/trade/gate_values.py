"""What is written down when a gate is confirmed: the values asked for, whether they can be meant, whether they hold."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from pydantic import TypeAdapter

from inspect_app.trade.rule_rows import Ask, Asked
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure, tenths

Values = Mapping[str, int | str]
Book = Mapping[str, Asked]
LONGEST = 120


@cache
def builtin() -> Mapping[str, Asked]:
    """Return what is asked, by gate, read once from gate_values.toml."""
    raw = tomllib.loads((files("inspect_app.trade") / "catalogue" / "gate_values.toml").read_text("utf-8"))
    return TypeAdapter(dict[str, Asked]).validate_python(raw)


def asked(gate: str, book: Book | None = None) -> Asked | None:
    """Return what is asked at a gate, None where a name alone confirms it. `book`: of a catalogue; None is ours."""
    return (builtin() if book is None else book).get(gate)


def _asks(gate: str, book: Book | None) -> tuple[Ask, ...]:
    return (builtin() if book is None else book)[gate].asks


def read(gate: str, typed: Mapping[str, str], book: Book | None = None) -> dict[str, int | str]:
    """Return what was typed, by key, as whole figures, choices and words; what is empty is left out.

    Raises ValueError, in one sentence, for what is missing or cannot be meant.
    """
    found: dict[str, int | str] = {}
    for ask in _asks(gate, book):
        text = " ".join(typed.get(ask.key, "").split())
        if text:
            found[ask.key] = _figure(ask, text) if ask.most is not None else text
    fault = wrong(gate, found, book)
    if fault:
        raise ValueError(fault)
    return found


def typed(gate: str, values: Values, book: Book | None = None) -> dict[str, str]:
    """Return values as they would be typed, so that `read` gives them again."""
    return {
        ask.key: figure(f"{int(values[ask.key]) / 10:g}") if ask.tenths else str(values[ask.key])
        for ask in _asks(gate, book)
        if ask.key in values
    }


def _figure(ask: Ask, text: str) -> int:
    pattern = r"-?\d{1,7}(\.\d)?" if ask.tenths else r"-?\d{1,7}"
    plain = text.replace(",", ".").replace("−", "-")
    if not re.fullmatch(pattern, plain, re.ASCII):
        what, got = _(ask.label), text[:20]
        if ask.tenths:
            such = figure("12.5")
            raise ValueError(
                _("'%(label)s' must be a figure such as %(such)s (got '%(got)s').", label=what, such=such, got=got)
            )
        raise ValueError(_("'%(label)s' must be a whole figure such as 12 (got '%(got)s').", label=what, got=got))
    return round(float(plain) * 10) if ask.tenths else int(plain)


def wrong(gate: str, values: Values, book: Book | None = None) -> str | None:
    """Return in one sentence what is missing of the values of a gate or cannot be meant, None when nothing is."""
    asks = _asks(gate, book)
    known = {ask.key for ask in asks}
    strange = sorted(set(values) - known)
    if strange:
        return _("'%(key)s' is not asked at this gate; reload the page.", key=strange[0])
    for ask in asks:
        fault = _fault(ask, values)
        if fault:
            return fault
    if gate == "water" and known >= {"flow", "pressure"} and not {"flow", "pressure"} & set(values):
        return _("Write the flow of a nozzle or the pressure, so that the next test can be the same.")
    for ask in asks:
        if ask.all_of and int(values[ask.key]) > int(values[ask.all_of]):
            return _("'%(label)s' cannot be more than were checked; count again.", label=_(ask.label))
    return None


def _fault(ask: Ask, values: Values) -> str | None:
    value = values.get(ask.key)
    if value is None:
        due = ask.due_with and ask.due_with in values.values()
        if ask.optional and not due:
            return None
        return _("'%(label)s' is missing; write it down and confirm again.", label=_(ask.label))
    if ask.choices:
        known = [choice.key for choice in ask.choices]
        return None if value in known else _("'%(label)s' is none of its choices; choose one.", label=_(ask.label))
    if ask.most is None or ask.least is None:
        if isinstance(value, str) and 0 < len(value) <= LONGEST:
            return None
        return _("'%(label)s' may have %(most)s characters at most.", label=_(ask.label), most=LONGEST)
    if not isinstance(value, int) or not ask.least <= value <= ask.most:
        return _(
            "'%(label)s' of %(got)s cannot be meant: it lies between %(least)s and %(most)s; "
            "check the figure and its unit.",
            label=_(ask.label),
            got=_measure(ask, value),
            least=_measure(ask, ask.least),
            most=_measure(ask, ask.most),
        )
    return None


def failed(gate: str, values: Values, book: Book | None = None) -> bool:
    """Tell whether the values say that the gate does not hold."""
    for ask in _asks(gate, book):
        value = values.get(ask.key)
        if ask.fails and value == ask.fails:
            return True
        if ask.none and isinstance(value, int) and value > 0:
            return True
        if ask.all_of and value is not None and int(value) < int(values[ask.all_of]):
            return True
    return False


def words(gate: str, values: Values, book: Book | None = None) -> str:
    """Say the values in a line, in the order they are asked: "shower, 10 min, 15 L/min, dry inside"."""
    said = [_said(ask, values[ask.key]) for ask in _asks(gate, book) if ask.key in values]
    return ", ".join(said)


def _said(ask: Ask, value: int | str) -> str:
    if ask.choices:
        return next((_(choice.label) for choice in ask.choices if choice.key == value), str(value))
    return _amount(ask, value)


def _measure(ask: Ask, value: int | str) -> str:
    """A figure with its unit, without the word that tells what was counted."""
    return _amount(ask, value) if ask.unit else str(value)


def _amount(ask: Ask, value: int | str) -> str:
    number = tenths(value) if ask.tenths and isinstance(value, int) else str(value)
    after = ask.unit or ask.short
    return f"{number} {_(after)}" if after else number
