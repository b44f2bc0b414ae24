"""What is done at the desks of the half-year, online: arrivals, concessions answered, signing, escapes, reopening."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from inspect_app.journal import Journal
from inspect_app.journal.events import Answer
from sample_units.days import SetClock
from sample_units.half_year.calendar import Calendar
from sample_units.half_year.crew import Crew
from sample_units.half_year.plan import Unit
from sample_units.half_year.van import Live
from sample_units.hands import Hands
from sample_units.signature import strokes
from sample_units.van import must

HEAD = "SELECT head FROM streams WHERE stream = ?"
ASKED = "SELECT id, unit FROM concessions WHERE state = 'asked'"
OPEN_QUESTIONS = "SELECT id, unit, asked_at FROM questions WHERE state = 'open' ORDER BY n"
TO_SIGN = "SELECT id FROM units WHERE state = 'open' AND stage = 'to_sign' ORDER BY arrived_at, id"
PLANNER, MANAGER = "ngozi", "maud"


@dataclass
class Desk:
    """The planner's and the managers' desks."""

    journal: Journal
    clock: SetClock
    calendar: Calendar
    crew: Crew
    plant: str
    vans: dict[str, Live] = field(default_factory=dict)
    ids: dict[int, str] = field(default_factory=dict)  # of the vans that have come, by their number in the plan
    signed: dict[str, int] = field(default_factory=dict)  # the day of the last signing
    abreast: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(12))

    def arrive(self, units: Iterable[Unit]) -> None:
        """Bring vans in, all in one commit."""
        come = list(units)
        orders = [
            {**unit.order, "plant": self.plant, "due": self.calendar.at(unit.walked + 8, "16:00")} for unit in come
        ]
        answers = self.journal.record_import(orders, self.crew.hands[PLANNER].ticket)
        known = {
            row["build_number"]: row["id"]
            for row in self._rows("SELECT id, build_number FROM units WHERE state = 'open'")
        }
        for unit, answer in zip(come, answers, strict=True):
            must(answer)
            van = self.ids[unit.number] = known[unit.build_number]
            self.vans[van] = Live(unit, van)

    def concede(self) -> None:
        """Answer every concession that is asked, a manager who did not ask it."""
        for row in self._rows(ASKED):
            unit = self.vans[row["unit"]].unit
            hands = self.crew.hands[PLANNER]
            if unit.refused:
                reason = {"reason": "The customer looks there first; put it right."}
                must(hands.online(row["unit"], "concession_refused", {"concession": row["id"], **reason}))
            else:
                must(hands.online(row["unit"], "concession_agreed", {"concession": row["id"]}))

    def ready(self, *, leave: int = 0) -> list[str]:
        """The ids of the vans that are ready to be signed, but the last few."""
        found = [row["id"] for row in self._rows(TO_SIGN)]
        return found[: max(0, len(found) - leave)]

    def sign(self, ready: Sequence[str], day: int) -> None:
        """Sign vans that are ready: all of them side by side."""
        for answers in self.abreast.map(self._confirm, ready):
            for answer in answers:
                must(answer)
        for answer in self.abreast.map(self._sign, ready):
            must(answer)
        self.signed.update(dict.fromkeys(ready, day))

    def _confirm(self, van: str) -> list[Answer]:
        return self._signer(van).confirm(van)

    def _sign(self, van: str) -> Answer:
        head = self.journal.read().execute(HEAD, (f"unit:{van}",)).fetchone()["head"]
        who = self.vans[van].unit.again
        return self._signer(van).online(
            van, "unit_signed", {"expected_head": head}, {"strokes": strokes(who)}, pin=True
        )

    def _signer(self, van: str) -> Hands:
        return self.crew.hands[self.vans[van].unit.again]

    def answer(self, before: int) -> None:
        """Answer what was asked before a time (ms UTC): the escapes; some vans are opened again."""
        hands = self.crew.hands[MANAGER]
        for row in self._rows(OPEN_QUESTIONS):
            escape = self.vans[row["unit"]].unit.escape
            if row["asked_at"] >= before or escape is None:
                continue
            words = "Seen it: it goes back in." if escape.reopened else "Seen it; agreed with the customer to leave it."
            must(hands.online(row["unit"], "question_answered", {"question": row["id"], "answer": words}))
            if escape.reopened:
                must(hands.online(row["unit"], "unit_reopened", {"reason": f"Escape: {escape.flaw.kind}."}))

    def close(self) -> None:
        """Let the desks' helpers go."""
        self.abreast.shutdown()

    def _rows(self, sql: str) -> list[Any]:
        return self.journal.read().execute(sql).fetchall()
