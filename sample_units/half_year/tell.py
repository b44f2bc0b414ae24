"""The half-year told: day after day through the journal, as tablets and desks would have sent it, up to now."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from inspect_app.journal import Journal
from inspect_app.journal.events import Answer, canonical
from inspect_app.journal.journal import PLANT
from sample_units.days import MINUTE, SetClock
from sample_units.half_year import key, looking, sheets
from sample_units.half_year.bench import Benches
from sample_units.half_year.calendar import Calendar
from sample_units.half_year.crew import Crew
from sample_units.half_year.desk import MANAGER, Desk
from sample_units.half_year.line import Line
from sample_units.half_year.looking import Timed, Walk, again, ended, mark
from sample_units.half_year.photos import Gallery
from sample_units.half_year.plan import Unit
from sample_units.half_year.today import stand
from sample_units.hands import Hands
from sample_units.van import must

SLOTS = ("10:00", "13:05", "10:05", "13:10", "10:10", "13:15")  # when first walks begin
UNDER_WAY = "SELECT id, stage FROM units WHERE state = 'open'"
FIRST_DAY = -8  # working days before week 1: the first arrivals
LEFT = 2  # of the vans that are ready on the last day, so many are not signed yet
DRAWN_DAYS = 3  # sheets signed in the last days are left for the server to draw


@dataclass
class Tale:
    """Everything the story goes on in."""

    journal: Journal
    clock: SetClock
    calendar: Calendar
    units: Sequence[Unit]
    crew: Crew
    desk: Desk
    benches: Benches
    gallery: Gallery
    seed: int

    def __post_init__(self) -> None:
        self.vans = self.desk.vans
        self.line = Line(self.desk, self.calendar, self.units)
        self.lot = random.Random(f"tale {self.seed}")
        self.letters: dict[str, str] = {}
        self.last = FIRST_DAY
        self.arriving = _by_day(self.units, lambda unit: unit.arrives)
        self.walking = _by_day(self.units, lambda unit: unit.walked)

    def tell(self, said: Callable[[int], None] = lambda day: None) -> None:
        """Live through every working day up to now."""
        self.last = max(day for day in range(FIRST_DAY, key.DAYS + key.AHEAD) if self._begun(day))
        for day in range(FIRST_DAY, self.last + 1):
            self.live(day)
            said(day)
        stand(self)

    def _begun(self, day: int) -> bool:
        return self.calendar.at(day, "07:05") < self.calendar.now

    def live(self, day: int) -> None:
        """Live through one working day, or what has passed of it."""
        noon, night = (min(self.calendar.at(day, clock), self.calendar.now) for clock in ("12:30", "17:20"))
        events = self._open(day)
        walks = self._walks(day)
        events += [event for walk in walks for event in walk.events]
        events += self._again(day) + self._escapes(day)
        events += self.benches.day(self.calendar.at(day, "07:15"), self.calendar.at(day, "17:10"))
        self.send((event for event in events if event[0] <= noon), noon)
        self._desk(day)
        late = [event for walk in walks if walk.end <= noon for event in ended(walk, self.journal)]
        self.send([event for event in events if noon < event[0] <= night] + late, night)
        late = [event for walk in walks if noon < walk.end <= night for event in ended(walk, self.journal)]
        self.send(late, night)
        self._close(day)

    def _open(self, day: int) -> list[Timed]:
        """Begin a day: new people and methods, sign-ins, vans that come in or go on; returns what is not fitted."""
        self.clock.set(self.calendar.at(day, "06:50"))
        if day == FIRST_DAY:
            self._hire(person for person in self.crew.people if person != key.NEW)
        if day == (key.NEW_FROM - 1) * 5:
            self._hire([key.NEW])
        self.crew.sign_in()
        if day == (key.MOVED_FROM_WEEK - 1) * 5:
            publish(self.journal, self.crew.hands[MANAGER])
        self.clock.set(self.calendar.at(day, "07:05"))
        come = self.arriving.get(day, []) if day > FIRST_DAY else [u for u in self.units if u.arrives <= day]
        self.desk.arrive(come)
        hands, at = self.crew.hands["ngozi"], self.clock.now
        self.line.morning(day)
        absent = {self.desk.ids[unit.number]: unit.absent for unit in come if unit.absent}
        return [
            (at, hands.event(van, "zones_absent", {"zones": list(zones), "why": "not_fitted"}))
            for van, zones in absent.items()
        ]

    def _hire(self, people: Iterable[str]) -> None:
        self.crew.hire(people)
        rows = self.journal.read().execute("SELECT id, letters FROM tablets").fetchall()
        of_tablet = {row["id"]: row["letters"] for row in rows}
        self.letters = {person: of_tablet[hands.tablet] for person, hands in self.crew.hands.items()}

    def _desk(self, day: int) -> None:
        """What is noted after the morning: questions answered, parts painted, vans passed on and signed."""
        at = self.calendar.at(day, "12:40")
        if at <= self.calendar.now:
            self.clock.set(at)
            self.desk.answer(self.calendar.at(day, "00:00"))
            self.line.noon(day)
            ready = self.desk.ready(leave=LEFT if day == self.last else 0)
            self.line.final(ready)
            self.desk.sign(ready, day)

    def _close(self, day: int) -> None:
        """End a day: concessions answered, work planned taken up, photos and sheets that are ready."""
        if day < self.last:
            self.desk.concede()
        self.benches.read(self.vans)
        self.gallery.hand_in(self.journal)
        if day <= self.last - DRAWN_DAYS:
            sheets.issue(self.journal, self.desk.abreast, but=0)

    # ------------------------------------------------------------------ what tablets keep

    def _walks(self, day: int) -> list[Walk]:
        """The first walks of a day, and those of vans as they came in the day before."""
        found = []
        for unit in self.walking.get(day, []):
            times = (self.calendar.at(day, SLOTS[unit.slot % len(SLOTS)]), self.lot.uniform(84, 108))
            found.append(self.walk(unit, unit.inspector, "first", times))
        for unit in self.arriving.get(day - 1, []):
            if any(flaw.on == "incoming" for flaw in unit.flaws):
                times = (self.calendar.at(day, "14:55"), self.lot.uniform(24, 34))
                found.append(self.walk(unit, unit.again, "incoming", times))
        return found

    def walk(self, unit: Unit, who: str, purpose: str, times: tuple[int, float], part: float = 1.0) -> Walk:
        """Let somebody walk a van that is here: from when (ms UTC), and for how many minutes."""
        live = self.vans[self.desk.ids[unit.number]]
        return looking.walk(live, self.crew.hands[who], self.letters[who], purpose, times, part)

    def _again(self, day: int) -> list[Timed]:
        """Look again at every van whose work is done and cured, one after the other for each inspector."""
        events: list[Timed] = []
        free: dict[str, int] = {}
        for row in self.journal.read().execute(UNDER_WAY).fetchall():
            live = self.vans[row["id"]]
            who = live.unit.again
            start = free.get(who, self.calendar.at(day, "07:20"))
            if row["stage"] != "to_look_again" or live.cured > start:
                continue
            told = again(live, self.crew.hands[who], self.letters[who], self.journal, start)
            free[who] = told[-1][0] + 4 * MINUTE
            events += told
        return events

    def _escapes(self, day: int) -> list[Timed]:
        """Flaws that come to light today on vans signed before."""
        events: list[Timed] = []
        for van, signed in self.desk.signed.items():
            live = self.vans[van]
            escape = live.unit.escape
            if escape is None or signed + escape.after != day or live.escaped:
                continue
            live.escaped = True
            at = self.calendar.at(day, "10:40", self.lot.randrange(90))
            who = self.lot.choice(("ines", "lukasz"))
            events += mark(live, self.crew.hands[who], self.letters[who], escape.flaw, at, None, "lamp")
        return events

    def send(self, events: Iterable[Timed], at: int) -> None:
        """Let the tablets send what they have kept, at a time."""
        told = [event for _, event in sorted(events, key=lambda timed: timed[0])]
        self.clock.set(at)
        if not told:
            return
        answers = self.journal.sync(told, self.crew.tokens, tablet="")
        for event, answer in zip(told, answers, strict=True):
            self._heard(event, answer)
        self.journal.settled()

    def _heard(self, event: dict[str, Any], answer: Answer) -> None:
        van = event["stream"].removeprefix("unit:")
        live, body = self.vans[van], event["body"]
        escaped = answer.outcome == "flagged" and live.escaped
        if answer.outcome != "applied" and not escaped:
            raise AssertionError(f"{event['type']} at {event['at']}: {answer.outcome}: {answer.reason}")
        if event["type"] == "photo_added" and body["marker"] in live.marks:
            flaw = live.marks[body["marker"]]
            number = next(number for number, one in enumerate(live.unit.every) if one is flaw)
            self.gallery.announced(van, body["photo"], (live.unit.number, number, body["role"] == "after"))


def publish(journal: Journal, hands: Hands) -> None:
    """Let a manager publish the catalogue of the new method: the kind that moves is made by another department now."""
    before = journal.catalogue()
    moved = replace(before.kinds[key.MOVED], origin_department=key.MOVED_AFTER)
    after = replace(before, kinds={**before.kinds, key.MOVED: moved})
    body = {"hash": after.hash, "content": canonical(after.to_json()), "from": before.hash}
    why = {"reason": "The mouldings are clipped on by Doors and fittings from this week on."}
    must(journal.record(hands.ticket, PLANT, "catalogue_published", body, private=why))


def _by_day(units: Sequence[Unit], day: Callable[[Unit], int]) -> dict[int, list[Unit]]:
    found: dict[int, list[Unit]] = {}
    for unit in units:
        found.setdefault(day(unit), []).append(unit)
    return found
