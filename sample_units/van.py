"""One van in the demo's story: what is ordered, what is marked, who does what to it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from inspect_app.journal import Answer, Journal
from inspect_app.photos import Store
from sample_units.days import Days, SetClock
from sample_units.hands import Hands, new_id
from sample_units.marks import Mark, Spec, spot
from sample_units.people import Person
from sample_units.pictures import Darkroom

OUT_OF_SHIFT = 13 * 3_600_000


@dataclass(frozen=True, kw_only=True)
class Shop:
    """The workshop of the demo at work."""

    journal: Journal
    clock: SetClock
    days: Days
    store: Store
    darkroom: Darkroom
    people: Sequence[Person]
    crew: dict[str, Hands]
    plant: str

    def hands(self, key: str) -> Hands:
        """A person at their tablet, signed in anew when the last sign-in is not of this shift."""
        found = self.crew[key]
        if self.clock.now - found.ticket.issued_at > OUT_OF_SHIFT:
            found.sign_in()
        return found

    def of(self, department: str, van: str) -> str:
        """Who of a department takes this van's jobs; each van has its own, so that both benches have work."""
        able = [person.key for person in self.people if department in person.departments]
        return able[sum(map(ord, van)) % len(able)]


@dataclass
class Van:
    """One van. `ids`: its marks' ids in the journal, by their number."""

    shop: Shop
    spec: Spec
    id: str = ""
    ids: dict[int, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.lot = random.Random(f"story {self.spec.key}")

    def arrive(self, by: str = "ngozi") -> None:
        """Bring it in, with what was not ordered absent from its drawing, and say where it stands."""
        days, hands = self.shop.days, self.shop.hands(by)
        due = days.day(self.spec.due, "16:00")
        self.id = hands.arrive(plant=self.shop.plant, due=due, **self.spec.order)
        if self.spec.absent:
            must(hands.do(self.id, "zones_absent", {"zones": list(self.spec.absent), "why": "not_fitted"}))
        hands.online(self.id, "unit_corrected", {"place": self.spec.place, "keys": self.spec.keys})

    def do(self, who: str, event: str, body: dict[str, Any], private: dict[str, Any] | None = None) -> Answer:
        """Do one thing to it."""
        return must(self.shop.hands(who).do(self.id, event, body, private))

    def rows(self, table: str, where: str = "1") -> list[dict[str, Any]]:
        """Rows of this van."""
        db = self.shop.journal.read()
        return [
            dict(row) for row in db.execute(f"SELECT * FROM {table} WHERE unit = ? AND {where} ORDER BY n", (self.id,))
        ]

    def named(self, name: str) -> str:
        """The id of a mark that the story calls by name."""
        number = next(number for number, mark in enumerate(self.spec.marks) if mark.name == name)
        return self.ids[number]

    def marker_body(self, number: int, mark: Mark, walk: str | None, lap: str) -> dict[str, Any]:
        """The body of `marker_made`; the server puts the tablet's own next tag in place of this one."""
        journal = self.shop.journal
        self.ids[number] = new_id()
        place = spot(journal.outline(self.rows_of_unit()["outline"]), mark, self.lot)
        said = {"count": mark.count, "raking": mark.raking, "severity": mark.severity}
        return {
            "marker": self.ids[number], "tag": f"A{len(self.ids)}", "walk": walk, "lap": lap, "kind": mark.kind,
            **place, **{name: amount for name, amount in said.items() if amount is not None},
        }  # fmt: skip

    def rows_of_unit(self) -> dict[str, Any]:
        """Its row of units."""
        return dict(self.shop.journal.read().execute("SELECT * FROM units WHERE id = ?", (self.id,)).fetchone())

    def number_of(self, marker: str) -> int:
        """The number of a mark in the specs, from its id in the journal."""
        return next(number for number, key in self.ids.items() if key == marker)

    def photo(self, number: int, who: str, *, job: str | None = None, after: bool = False, **about: Any) -> None:
        """Take a photo of a mark (drawn in the darkroom): announced by a tablet, then stored by the server."""
        body = {"photo": new_id(), "marker": self.ids[number], "role": "after" if after else "found", **about}
        self.do(who, "photo_added", body if job is None else {**body, "job": job})
        kept = self.shop.darkroom.keep(self.shop.store, (self.spec.key, number, after))
        self.shop.journal.record_server(f"unit:{self.id}", "photo_stored", {"photo": body["photo"], **kept})


def must(answer: Answer) -> Answer:
    """Insist that an event of the story was applied: one that was not is a mistake in the story."""
    if answer.outcome != "applied":
        raise AssertionError(f"{answer.outcome}: {answer.reason}")
    return answer
