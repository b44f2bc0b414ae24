"""The plan of the half-year: every van, when it is painted and walked, by whom, and the flaws on it. Pure, from a seed.

Days are working days from the Monday of week 1 (day 0). The plan does not depend on today: how much of it has happened
by now is for `tell` to say.
"""

from __future__ import annotations

import random
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from inspect_app.trade import vin
from sample_units.half_year import flaws, key
from sample_units.half_year.flaws import Flaw
from sample_units.half_year.spots import Spots

FILE = Path(__file__).with_name("half_year.toml")
UNITS_FILE = Path(__file__).parent.with_name("units.toml")
SEED, UNITS = 26, 480
BUSY = 16  # on the last so many days at least one van a day is walked


@dataclass(frozen=True, kw_only=True)
class Escape:
    """A flaw that comes to light so many working days after the signing. `reopened`: the van is opened again for it."""

    flaw: Flaw
    after: int
    reopened: bool


@dataclass(frozen=True, kw_only=True)
class Unit:
    """One van. `arrives`, `painted`, `walked`: working days; `slot`: which walk of that day it is."""

    number: int
    chassis: str
    build_number: str
    make: str
    model: str
    colour: str
    colour_hex: str
    finish: str
    options: tuple[str, ...]
    absent: tuple[str, ...]
    booth: str
    arrives: int
    painted: int
    walked: int
    slot: int
    inspector: str
    again: str
    flaws: tuple[Flaw, ...]
    escape: Escape | None
    conceded: int | None
    refused: bool

    @property
    def week(self) -> int:
        """The week of its first walk."""
        return key.week(self.walked)

    @property
    def every(self) -> tuple[Flaw, ...]:
        """All that is ever found on it: its flaws, and the one that escapes."""
        return (*self.flaws, self.escape.flaw) if self.escape else self.flaws

    @property
    def order(self) -> dict[str, Any]:
        """What `unit_arrived` says, but for plant and due date."""
        named = ("chassis", "build_number", "make", "model", "colour", "colour_hex", "finish")
        return {**{name: getattr(self, name) for name in named}, "options": list(self.options)}


@cache
def lots() -> Mapping[str, Any]:
    """The file that the plan draws from, with what is absent where it was not ordered."""
    told = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return {**told, "not_ordered": tomllib.loads(UNITS_FILE.read_text(encoding="utf-8"))["not_ordered"]}


def plan(seed: int = SEED, units: int = UNITS) -> tuple[Unit, ...]:
    """Plan so many vans, in the order of their first walks. The same arguments give the same plan."""
    spots, walked = Spots(), days(units)
    taken: dict[int, list[str]] = {}
    return tuple(_unit(seed, number, day, taken.setdefault(day, []), spots) for number, day in enumerate(walked))


def days(units: int) -> list[int]:
    """The days of the first walks: evenly over all of them, but at the end never so few that the floor stands empty."""
    slots = key.DAYS + key.AHEAD
    evenly = [number * slots // units for number in range(units)]
    lively = min(units, BUSY)
    last = [max(day, slots - lively + at) for at, day in enumerate(evenly[-lively:])]
    return sorted(evenly[:-lively] + last)


def _unit(seed: int, number: int, walked: int, taken: list[str], spots: Spots) -> Unit:
    lot = random.Random(f"{seed} {number}")
    make, colour = _drawn(lot, lots()["makes"]), _drawn(lot, lots()["colours"])
    options = tuple(name for name in lots()["not_ordered"] if lot.random() < 0.62)
    absent = tuple(zone for name, zones in lots()["not_ordered"].items() if name not in options for zone in zones)
    inspector = _inspector(lot, walked, taken)
    taken.append(inspector)
    van = key.Van(
        make=make["name"],
        booth=lot.choices(list(key.BOOTHS), list(key.BOOTHS.values()))[0],
        painted=walked - lot.choice((3, 3, 4)),
        walked=walked,
        inspector=inspector,
    )
    found = flaws.of_van(van, absent, lots(), spots, lot)
    return Unit(
        number=number,
        chassis=_chassis(make["chassis"], lot),
        build_number=f"OV-{1600 + number}",
        make=van.make,
        model=lot.choice(make["models"]),
        colour=colour["name"],
        colour_hex=colour["hex"],
        finish=colour["finish"],
        options=options,
        absent=absent,
        booth=van.booth,
        arrives=walked - lot.randint(5, 8),
        painted=van.painted,
        walked=walked,
        slot=len(taken) - 1,
        inspector=inspector,
        again=lot.choice([name for name in ("ines", "lukasz", "amadou", "maud") if name != inspector]),
        flaws=found,
        escape=_escape(van, absent, spots, lot),
        conceded=_conceded(found, lot),
        refused=lot.random() < key.REFUSED,
    )


def _drawn(lot: random.Random, rows: Sequence[dict[str, Any]]) -> dict[str, Any]:
    return lot.choices(rows, [row["share"] for row in rows])[0]


def _inspector(lot: random.Random, walked: int, taken: Sequence[str]) -> str:
    """Who walks it: whoever has the fewest walks that day, by lot; the new one from their first day on."""
    shares: dict[str, int] = dict(lots()["inspectors"])
    if key.week(walked) < key.NEW_FROM:
        del shares[key.NEW]
    free = {name: share for name, share in shares.items() if taken.count(name) == min(map(taken.count, shares))}
    return lot.choices(list(free), list(free.values()))[0]


def _chassis(pattern: str, lot: random.Random) -> str:
    number = f"{lot.randint(0, 999_999):06d}"
    return pattern.format(c=vin.check_digit(pattern.format(c="0") + number)) + number


def _escape(van: key.Van, absent: Sequence[str], spots: Spots, lot: random.Random) -> Escape | None:
    chance, share = lot.random(), key.LATER_ESCAPES if key.finds(van) < 1 else key.ESCAPES
    if chance >= share:
        return None
    flaw = flaws.escaped(absent, lots(), spots, lot)
    return Escape(flaw=flaw, after=lot.randint(2, 9), reopened=lot.random() < key.REOPENED)


def _conceded(found: Sequence[Flaw], lot: random.Random) -> int | None:
    able = [at for at, flaw in enumerate(found) if flaw.kind in ("scratch", "dent", "gap") and flaw.on == "first"]
    return lot.choice(able) if lot.random() < key.CONCEDED and able else None
