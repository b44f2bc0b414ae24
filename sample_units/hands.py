"""Hands: a person at a tablet, doing what a tablet does. Used by the demo and by the tests."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import uuid_utils as uuids

from inspect_app.journal import Answer, Journal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.tickets import SHIFT_MS, Ticket
from inspect_app.rooms.people import pins


def new_id() -> str:
    """A UUIDv7."""
    return str(uuids.uuid7())


def hire(
    journal: Journal,
    name: str,
    roles: Sequence[str],
    departments: Sequence[str] = (),
    pin: str = "2580",
    pin_hash: str | None = None,
) -> str:
    """Add a person to the plant and return their id. `pin_hash` saves the hashing where many are hired."""
    person = new_id()
    body = {"person": person, "roles": list(roles), "departments": list(departments), "state": "active"}
    journal.record_server(
        PLANT, "person_added", body, private={"name": name, "pin_hash": pin_hash or pins.hash_pin(pin)}
    )
    return person


def admit(journal: Journal) -> str:
    """Register a tablet and return its id."""
    tablet = new_id()
    journal.record_server(PLANT, "tablet_admitted", {"tablet": tablet})
    return tablet


@dataclass
class Hands:
    """One person signed in on one tablet. `at` (ms) is their clock; None follows the journal's."""

    journal: Journal
    person: str
    tablet: str
    roles: tuple[str, ...]
    departments: tuple[str, ...] = ()
    at: int | None = None
    seq: int = 0
    ticket: Ticket = field(init=False)

    def __post_init__(self) -> None:
        self.sign_in()

    def now(self) -> int:
        """The time on this tablet."""
        return self.journal.clock() if self.at is None else self.at

    def sign_in(self) -> None:
        """Take a new ticket."""
        now = self.now()
        self.ticket = Ticket(
            id=new_id(),
            person=self.person,
            tablet=self.tablet,
            roles=self.roles,
            departments=self.departments,
            issued_at=now,
            until=now + SHIFT_MS,
        )
        body = {
            "ticket": self.ticket.id,
            "person": self.person,
            "tablet": self.tablet,
            "roles": list(self.roles),
            "departments": list(self.departments),
        }
        self.journal.record_server(PLANT, "ticket_issued", {**body, "issued_at": now, "until": self.ticket.until})

    def event(
        self, unit: str, event_type: str, body: dict[str, Any], private: dict[str, Any] | None = None, **header: Any
    ) -> dict[str, Any]:
        """Write one event as this tablet would keep it."""
        self.seq += 1
        base = {
            "id": new_id(),
            "stream": f"unit:{unit}",
            "type": event_type,
            "tablet": self.tablet,
            "seq": self.seq,
            "ticket": self.ticket.id,
            "at": self.now(),
            "offset": 0,
            "catalogue": None,
            "outline": None,
            "body": body,
            "private": private,
        }
        return {**base, **header}

    def send(self, *events: dict[str, Any]) -> list[Answer]:
        """Send events as one sync."""
        return self.journal.sync(events, [self.journal.tickets.write(self.ticket)], tablet=self.tablet)

    def do(self, unit: str, event_type: str, body: dict[str, Any], private: dict[str, Any] | None = None) -> Answer:
        """Do one thing and return its answer."""
        return self.send(self.event(unit, event_type, body, private))[0]

    def arrive(self, **unit: Any) -> str:
        """Bring a unit in (online) and return its id."""
        key = new_id()
        self.journal.record(self.ticket, f"unit:{key}", "unit_arrived", unit)
        return key

    def online(
        self,
        unit: str,
        event_type: str,
        body: dict[str, Any],
        private: dict[str, Any] | None = None,
        *,
        pin: bool = False,
    ) -> Answer:
        """Do one thing that is done online only; `pin` says that the PIN was proved."""
        proofs = frozenset({"pin"}) if pin else frozenset[str]()
        return self.journal.record(self.ticket, f"unit:{unit}", event_type, body, private=private, proofs=proofs)

    # ------------------------------------------------------------------ whole acts

    def start_walk(self, unit: str, purpose: str = "first") -> str:
        """Start a walk and return its id."""
        walk = new_id()
        self.do(unit, "walk_started", {"walk": walk, "purpose": purpose})
        return walk

    def mark(self, unit: str, walk: str | None, kind: str, zone: str, tag: str, **more: Any) -> str:
        """Drop a marker in the middle of a zone and return its id."""
        marker = new_id()
        answer = self.do(
            unit,
            "marker_made",
            {"marker": marker, "walk": walk, "lap": "lamp", "kind": kind, "tag": tag, **self.spot(unit, zone), **more},
        )
        if answer.outcome == "refused":
            raise AssertionError(answer.reason)
        return marker

    def spot(self, unit: str, zone: str) -> dict[str, Any]:
        """A place inside a zone, as the body of a marker names it."""
        from shapely import Polygon

        outline = self.journal.outline(
            self.journal.read().execute("SELECT outline FROM units WHERE id = ?", (unit,)).fetchone()["outline"]
        )
        found = outline.zone(zone)
        if not found.rings:
            return {"view": found.view, "zone": zone}
        point = Polygon(found.rings[0].points).representative_point()
        return {"view": found.view, "x": round(point.x * 10), "y": round(point.y * 10), "spread": 100}

    def look_everywhere(
        self, unit: str, walk: str, but: Callable[[str, str], bool] = lambda zone, lap: False
    ) -> list[Answer]:
        """Look at everything the walk still lacks, but for the zones and laps that are left to somebody else."""
        from inspect_app.journal import coverage

        db = self.journal.read()
        row = db.execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone()
        missing = coverage.missing_of_walk(
            db, self.journal.versions, row, db.execute("SELECT * FROM walks WHERE id = ?", (walk,)).fetchone()
        )
        return self.send(
            *(
                self.event(unit, "zone_looked", {"walk": walk, "zone": zone, "lap": lap, "found": 0})
                for zone, lap in sorted(missing)
                if not but(zone, lap)
            )
        )

    def finish_walk(self, unit: str, walk: str) -> Answer:
        """Look at what is missing and finish."""
        self.look_everywhere(unit, walk)
        return self.do(unit, "walk_finished", {"walk": walk})

    def jobs(self, unit: str) -> list[dict[str, Any]]:
        """Jobs of the unit that are ready or taken, in the departments of this person."""
        rows = self.journal.read().execute(
            "SELECT * FROM jobs WHERE unit = ? AND state IN ('ready', 'taken') ORDER BY planned_at, id", (unit,)
        )
        return [dict(row) for row in rows if row["department"] in self.departments]

    def take(self, unit: str, job: dict[str, Any]) -> Answer:
        """Take a job with all of its cautions read."""
        cautions = list(self.journal.catalogue().methods[job["method"]].cautions)
        return self.do(unit, "job_taken", {"job": job["id"], "cautions": cautions})

    def work(self, unit: str, job: dict[str, Any], minutes: int | None = None, **more: Any) -> Answer:
        """Take a job and do it."""
        self.take(unit, job)
        return self.do(
            unit,
            "work_done",
            {"job": job["id"], "minutes": job["minutes_planned"] if minutes is None else minutes, **more},
        )

    def confirm(self, unit: str) -> list[Answer]:
        """Confirm every gate in force that waits for a named person; the others follow from the work or the signing."""
        gates = [gate.key for gate in self.journal.catalogue().gates_by_default()]
        by_name = [key for key in gates if key not in ("marks", "coverage", "release")]
        return [self.online(unit, "gate_confirmed", confirming(key)) for key in by_name]

    def sign(self, unit: str) -> Answer:
        """Confirm what wants a name and sign against the present head."""
        self.confirm(unit)
        head = (
            self.journal.read()
            .execute("SELECT head FROM streams WHERE stream = ?", (f"unit:{unit}",))
            .fetchone()["head"]
        )
        return self.online(
            unit,
            "unit_signed",
            {"expected_head": head},
            {"strokes": [[[100, 500], [300, 200], [600, 700], [900, 300]]]},
            pin=True,
        )


WRITTEN: dict[str, dict[str, int | str]] = {
    "water": {"method": "shower", "minutes": 10, "flow": 150, "result": "dry"},
    "fasteners": {"checked": 24, "right": 24, "clips": 0},
    "lamps": {"faults": 0, "touched": "no"},
    "papers": {"mileage": 41, "weight": 2980, "label": "not_due"},
}
"""What is written down at the gates that ask for it, when all is well."""


def confirming(gate: str) -> dict[str, Any]:
    """The body that confirms a gate by name."""
    return {"gate": gate, **({"values": WRITTEN[gate]} if gate in WRITTEN else {})}
