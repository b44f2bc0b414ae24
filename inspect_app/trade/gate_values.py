"""What is written down when a gate is confirmed: the values asked for, whether they can be meant, whether they hold."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import ClassVar

from pydantic import TypeAdapter

from inspect_app.words import gettext as _
from inspect_app.words.figures import figure, tenths

Values = Mapping[str, int | str]
LONGEST = 120


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One answer to choose."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    key: str
    label: str


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One value: a figure between `least` and `most` (tenths where it says so), one of `choices`, or a few words.

    `unit` stands beside the field and after the figure, `short` after the figure only. The gate does not hold when the
    value is the choice `fails`, when it is above nothing and `none` is asked, or when it is less than the value that
    `all_of` names. An optional text is due `with` a choice of the value before it.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    key: str
    label: str
    unit: str = ""
    short: str = ""
    tenths: bool = False
    least: int | None = None
    most: int | None = None
    choices: tuple[Choice, ...] = ()
    fails: str = ""
    none: bool = False
    all_of: str = ""
    optional: bool = False
    with_: str = ""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """All that is asked at one gate. `retest`: it has to be confirmed again after work on a seal."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    hint: str
    asks: tuple[Ask, ...]
    origin: str
    cautions: tuple[str, ...] = ()
    retest: bool = False


@cache
def builtin() -> Mapping[str, Asked]:
    """Return what is asked, by gate, read once from gate_values.toml."""
    raw = tomllib.loads((files("inspect_app.trade") / "catalogue" / "gate_values.toml").read_text("utf-8"))
    for asked in raw.values():
        for ask in asked["asks"]:
            if "with" in ask:
                ask["with_"] = ask.pop("with")
    return TypeAdapter(dict[str, Asked]).validate_python(raw)


def asked(gate: str) -> Asked | None:
    """Return what is asked at a gate, None where a name alone confirms it."""
    return builtin().get(gate)


def read(gate: str, typed: Mapping[str, str]) -> dict[str, int | str]:
    """Return what was typed, by key, as whole figures, choices and words; what is empty is left out.

    Raises ValueError, in one sentence, for what is missing or cannot be meant.
    """
    found: dict[str, int | str] = {}
    for ask in builtin()[gate].asks:
        text = " ".join(typed.get(ask.key, "").split())
        if text:
            found[ask.key] = _figure(ask, text) if ask.most is not None else text
    fault = wrong(gate, found)
    if fault:
        raise ValueError(fault)
    return found


def typed(gate: str, values: Values) -> dict[str, str]:
    """Return values as they would be typed, so that `read` gives them again."""
    return {
        ask.key: figure(f"{int(values[ask.key]) / 10:g}") if ask.tenths else str(values[ask.key])
        for ask in builtin()[gate].asks
        if ask.key in values
    }


def _figure(ask: Ask, text: str) -> int:
    pattern = r"-?\d{1,7}(\.\d)?" if ask.tenths else r"-?\d{1,7}"
    plain = text.replace(",", ".").replace("−", "-")
    if not re.fullmatch(pattern, plain, re.ASCII):
        such = figure("12.5") if ask.tenths else "12"
        raise ValueError(
            _(
                "'%(label)s' must be a figure such as %(such)s (got '%(got)s').",
                label=_(ask.label),
                such=such,
                got=text[:20],
            )
        )
    return round(float(plain) * 10) if ask.tenths else int(plain)


def wrong(gate: str, values: Values) -> str | None:
    """Return in one sentence what is missing of the values of a gate or cannot be meant, None when nothing is."""
    asks = builtin()[gate].asks
    known = {ask.key for ask in asks}
    strange = sorted(set(values) - known)
    if strange:
        return _("'%(key)s' is not asked at this gate; reload the page.", key=strange[0])
    for ask in asks:
        fault = _fault(ask, values)
        if fault:
            return fault
    if gate == "water" and "flow" not in values and "pressure" not in values:
        return _("Write the flow of a nozzle or the pressure, so that the next test can be the same.")
    for ask in asks:
        if ask.all_of and int(values[ask.key]) > int(values[ask.all_of]):
            return _("'%(label)s' cannot be more than were checked; count again.", label=_(ask.label))
    return None


def _fault(ask: Ask, values: Values) -> str | None:
    value = values.get(ask.key)
    if value is None:
        due = ask.with_ and ask.with_ in values.values()
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
            got=_amount(ask, value),
            least=_amount(ask, ask.least),
            most=_amount(ask, ask.most),
        )
    return None


def failed(gate: str, values: Values) -> bool:
    """Tell whether the values say that the gate does not hold."""
    for ask in builtin()[gate].asks:
        value = values.get(ask.key)
        if ask.fails and value == ask.fails:
            return True
        if ask.none and isinstance(value, int) and value > 0:
            return True
        if ask.all_of and value is not None and int(value) < int(values[ask.all_of]):
            return True
    return False


def words(gate: str, values: Values) -> str:
    """Say the values in a line, in the order they are asked: "shower, 10 min, 15 L/min, dry inside"."""
    said = [_said(ask, values[ask.key]) for ask in builtin()[gate].asks if ask.key in values]
    return ", ".join(said)


def _said(ask: Ask, value: int | str) -> str:
    if ask.choices:
        return next((_(choice.label) for choice in ask.choices if choice.key == value), str(value))
    return _amount(ask, value)


def _amount(ask: Ask, value: int | str) -> str:
    number = tenths(value) if ask.tenths and isinstance(value, int) else str(value)
    after = ask.unit or ask.short
    return f"{number} {_(after)}" if after else number
