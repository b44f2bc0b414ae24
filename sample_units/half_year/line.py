"""The line of the half-year: parts painted in their booth, stations passed; who works there notes it."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sample_units.days import MINUTE
from sample_units.half_year.calendar import Calendar
from sample_units.half_year.desk import Desk
from sample_units.half_year.plan import Unit
from sample_units.van import must

PLASTIC = ("front_bumper", "rear_bumper")  # flame-treated before they are painted
LOADED = (*PLASTIC, "front_cap")  # what goes into the booth together; the booth is noted with each
NOTED_BY = {"paint": "paint", "floor": "glass", "exterior": "trim", "finish": "polish"}
"""Which department notes that a station is passed; the final inspection is noted by who signs."""
MORNING = (("paint", "painted", 1), ("floor", "walked", -1), ("finish", "walked", 0))
NOON = (("exterior", "walked", -1),)
"""Stations passed at a time of the day: so many working days after which day of the plan. All of them come before the
first walk, so that nothing is found before its maker has been at the van; the first one after the walk on arrival."""

Told = tuple[str, str, str, dict[str, Any]]  # whose hands, the van's id, type and body of the event


@dataclass(frozen=True)
class Line:
    """Notes along the line, made at desks and booth doors: each day's are written side by side."""

    desk: Desk
    calendar: Calendar
    units: Sequence[Unit]

    def morning(self, day: int) -> None:
        """Pass on what was finished the day before."""
        self._write(self._passed(day, MORNING))

    def noon(self, day: int) -> None:
        """Note what was painted this morning, and pass on what is finished by noon."""
        painted = [told for unit in self.units if unit.painted == day for told in self._painted(unit)]
        self._write([*painted, *self._passed(day, NOON)])

    def final(self, vans: Iterable[str]) -> None:
        """Pass the final inspection with the last walk that was done there, before the van is signed."""
        sql = "SELECT id FROM walks WHERE unit = ? AND state = 'finished' ORDER BY finished_at DESC, n DESC LIMIT 1"
        db = self.desk.journal.read()
        done = {row["unit"] for row in db.execute("SELECT unit FROM stations_passed WHERE station = 'final'")}
        rows = [(van, db.execute(sql, (van,)).fetchone()["id"]) for van in vans if van not in done]
        signers = ((self.desk.vans[van].unit.again, van, walk) for van, walk in rows)
        self._write([(who, van, "station_passed", {"station": "final", "walk": walk}) for who, van, walk in signers])

    def _passed(self, day: int, stations: Sequence[tuple[str, str, int]]) -> list[Told]:
        return [
            (self._who(NOTED_BY[station], unit), self._van(unit), "station_passed", {"station": station})
            for station, since, after in stations
            for unit in self.units
            if getattr(unit, since) + after == day
        ]

    def _painted(self, unit: Unit) -> list[Told]:
        lot = random.Random(f"booth {unit.build_number}")
        sprayer = self._who("paint", unit)
        at = self.calendar.at(unit.painted, "08:10", lot.randrange(200))
        told = {"booth": unit.booth, "sprayer": self.desk.crew.hands[sprayer].person, "mix": self._mix(unit), "at": at}
        flame = {"flame_at": at - lot.randint(45, 110) * MINUTE}
        return [
            (sprayer, self._van(unit), "part_painted", {"part": part, **told, **(flame if part in PLASTIC else {})})
            for part in LOADED
        ]

    def _mix(self, unit: Unit) -> str:
        """One batch for what is painted in one colour on one day."""
        letters = "".join(word[0] for word in unit.colour.upper().split())
        return f"{letters}-{self.calendar.date(unit.painted):%m%d}"

    def _who(self, department: str, unit: Unit) -> str:
        there = self.desk.crew.of(department)
        return there[unit.number % len(there)]

    def _van(self, unit: Unit) -> str:
        return self.desk.ids[unit.number]

    def _write(self, told: Iterable[Told]) -> None:
        def one(event: Told) -> None:
            who, van, kind, body = event
            must(self.desk.crew.hands[who].online(van, kind, body))

        list(self.desk.abreast.map(one, told))
