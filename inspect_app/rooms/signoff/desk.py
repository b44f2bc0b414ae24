"""What the sign-off pages show of a unit: its gates with where each block is lifted, its rings, its sheets."""

from __future__ import annotations

import json
import sqlite3
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from inspect_app.journal import coverage, gates, gates_read
from inspect_app.journal.blocks import Block
from inspect_app.journal.gates import GateState
from inspect_app.journal.queries import again, checks, parts, people, sheets, signoff, timers
from inspect_app.journal.tickets import Ticket
from inspect_app.rooms.floor.timers import At, Timer
from inspect_app.rooms.floor.timers import timers as in_words
from inspect_app.rooms.house import House
from inspect_app.rooms.shown import zone
from inspect_app.rooms.signoff.marker_words import kind_label, size_text
from inspect_app.sheet.rings import STATES
from inspect_app.trade import gate_values, lifecycle, vin
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline_model import part_label
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _
from inspect_app.words.listed import one_of

DRAWN_STATES = ("open", "in_rework", "reworked", "cleared", "accepted", "conceded", "no_flaw", "withdrawn")
IN_WORDS = {**STATES, "reworked": N_("waiting for the second look"), "accepted": N_("accepted")}
A_ROLE = {"inspector": N_("an inspector"), "manager": N_("a manager"), "technician": N_("a technician")}
UNDECIDED = ("open", "in_rework", "reworked")


@dataclass(frozen=True, kw_only=True)
class Desk:
    """One unit on the sign-off page of one person."""

    house: House
    db: sqlite3.Connection
    unit: sqlite3.Row
    held: Ticket

    @property
    def now(self) -> int:
        """The server's time, ms."""
        return self.house.journal.clock()

    @cached_property
    def reworked(self) -> frozenset[str]:
        """Markers that wait for their second look."""
        return frozenset(row["id"] for row in signoff.markers(self.db, self.unit["id"]) if row["state"] == "reworked")

    def states(self) -> list[GateState]:
        """The gates as they stand, for a signing from this tablet."""
        versions = self.house.journal.versions
        return gates.states(self.db, versions, self.unit, now=self.now, but_tablet=self.held.tablet)

    def brief(self) -> dict[str, Any]:
        """What the page asks for every few seconds: enough to know that something has changed."""
        return {
            "unit": self.unit["id"],
            "state": self.unit["state"],
            "revision": self.unit["revision"],
            "head": signoff.head(self.db, self.unit["id"]),
            "gates": [gate.to_json() for gate in self.states()],
            "sheets": [
                {key: row[key] for key in ("revision", "state", "signed_at")}
                for row in sheets.of_unit(self.db, self.unit["id"])
            ],
        }

    def context(self) -> dict[str, Any]:
        """Everything the template needs."""
        unit, roles = self.unit, set(self.held.roles)
        now = self.brief()  # before all else: what changes from here on, the page will find changed
        head = signoff.head(self.db, unit["id"])  # first: whoever signs against it must have seen all it covers
        marks = signoff.markers(self.db, unit["id"])
        states = self.states()
        names = people.names(self.db)
        catalogue = self.house.journal.catalogue()
        conceded = [judged(one, self.held, catalogue) for one in signoff.concessions(self.db, unit["id"])]
        asked = {one["marker"] for one in conceded if one["state"] == "asked"}
        return {
            "unit": unit,
            "now": now,
            "names": names,
            "head": head,
            "timers": self.timers(catalogue),
            "gates": [self.gate(state, marks) for state in states],
            "waiting": [_(state.label) for state in states if not state.held and state.key != "release"],
            "counts": counts(marks),
            "views": self.views(marks),
            "marks": [self.mark(row, asked) for row in marks],
            "questions": signoff.questions(self.db, unit["id"]),
            "concessions": conceded,
            "sheets": [self.sheet(row) for row in sheets.of_unit(self.db, unit["id"])],
            "reopenings": signoff.reopened(self.db, unit["id"]),
            "chassis": grouped(unit["chassis"]),
            "digit_holds": vin.check_digit_holds(unit["chassis"]),
            "may": {
                "sign": "inspector" in roles and unit["state"] == "open",
                "inspect": "inspector" in roles,
                "lift": bool(roles & {"inspector", "manager"}),
                "reopen": "manager" in roles and unit["state"] == "signed",
            },
        }

    def timers(self, catalogue: Catalogue) -> list[Timer]:
        """The waits for safety that run at this van."""
        own = [row for row in timers.running(self.db) if row["unit"] == self.unit["id"]]
        return in_words(own, catalogue, At(now=self.now, zone=zone()))

    def gate(self, state: GateState, marks: Sequence[sqlite3.Row]) -> dict[str, Any]:
        """One gate with its blocks; zones that only want a look are gathered, for there may be a hundred of them."""
        off = {zone for zone, why in coverage.absent(self.unit).items() if why == "off"}
        zones = [b for b in state.blocks if b.about == "zone" and (b.key not in off or b.unlooked)]
        blocks = [block for block in state.blocks if block not in zones]
        outline = self.house.journal.outline(self.unit["outline"])
        asked = self.house.journal.catalogue().gates.get(state.key)
        lifted_by = asked.lifted_by if asked else ()
        return {
            "key": state.key,
            "label": _(state.label),
            "question": _(state.question),
            "mine": bool(set(self.held.roles) & set(lifted_by)),
            "lifted_by": one_of(_(A_ROLE.get(role, role)) for role in lifted_by),
            "held": state.held,
            "by": state.confirmed_by,
            "at": state.confirmed_at,
            "blocks": gathered([self.block(block) for block in blocks if block.about not in ("release", "gate")]),
            "own": any(block.about in ("gate", "check", "retest") for block in blocks),
            "zones": [_(outline.zone(block.key).label) for block in zones],
            "zones_href": self.look_href(),
            "told": self.told(state, marks),
            "asks": self.asks(state),
            "words": state.words,
            "why": state.why,
            "before": [one for one in self.checks(state.key) if one["at"] != state.confirmed_at],
        }

    def checks(self, gate: str) -> list[sqlite3.Row]:
        """What was written down at a gate, the newest first."""
        return checks.of_gate(self.db, self.unit["id"], gate)

    def asks(self, state: GateState) -> dict[str, Any] | None:
        """What is written down at a gate, with the cautions of it; None where a name alone confirms it."""
        book = self.house.journal.catalogue()
        rules = book.rule_book.gate_values
        asked = gate_values.asked(state.key, rules)
        if asked is None:
            return None
        known = [book.cautions[key] for key in asked.cautions if key in book.cautions]
        last = checks.last_held(self.db, state.key) if asked.retest else None
        told = json.loads(last["told"]) if last else {}
        fits = last is not None and gate_values.wrong(state.key, told, rules) is None  # it was asked by other rules
        same = gate_values.typed(state.key, told, rules) if fits else None
        wet = self.uncured(state.key)
        return {
            "same": None if wet else same,  # a test that has to be given a reason is not written down in one tap
            "last": gate_values.words(state.key, told, rules) if fits else "",
            "wet": [
                {"part": (part := _(part_label(one.part)))[:1].upper() + part[1:], "until": one.until} for one in wet
            ],
            "hint": _(asked.hint),
            "asks": asked.asks,
            "cautions": known,
            "clause": _(book.clause),
        }

    def uncured(self, gate: str) -> list[gates_read.Uncured]:
        """Bonds and seals that still cure, before which the test of a gate proves nothing."""
        book = self.house.journal.catalogue()
        asked = gate_values.asked(gate, book.rule_book.gate_values)
        return gates_read.uncured(self.db, self.unit["id"], book, self.now) if asked and asked.retest else []

    def told(self, state: GateState, marks: Sequence[sqlite3.Row]) -> str:
        """What a held gate holds, in a line."""
        if state.key == "marks":
            return counts(marks) if marks else _("No marker was made on this unit.")
        if state.key == "parts" and (off := parts.of_unit(self.db, self.unit["id"])):
            return ngettext(
                "%(n)s part came off and is on this van again, its label read.",
                "%(n)s parts came off and are on this van again, their labels read.",
                len(off),
            )
        if gates_read.by_readings(self.db, self.unit["id"], state.key):
            return _("What was read passes, or its marker was conceded.")
        if state.key == "coverage":
            versions = self.house.journal.versions
            laps = tuple(versions.catalogue(self.db, None).laps)
            zones = {zone for zone, _lap in coverage.required(versions, self.db, self.unit, laps)}
            return ngettext(
                "All %(n)s zone was looked at since the last work there.",
                "All %(n)s zones were looked at since the last work there.",
                len(zones),
            )
        return ""

    def look_href(self) -> str:
        """Where zones are looked at: the first walk until it is finished, then the second look."""
        first = self.unit["stage"] in ("to_walk", "walking") and not again.under_way(self.db, self.unit["id"])
        room = "walk" if first else "again"
        return f"/{room}/{self.unit['id']}"

    def block(self, block: Block) -> dict[str, Any]:
        """One block with the place where it is lifted."""
        href, action = self.place(block)
        return {
            "text": block.text[:1].upper() + block.text[1:],
            "lifted_by": block.lifted_by,
            "about": block.about,
            "key": block.key,
            "href": href,
            "action": action,
        }

    def place(self, block: Block) -> tuple[str, str]:
        """Where a block is lifted, and what the link there says; nothing for what is lifted on this page."""
        if block.about == "marker":
            return self.marker_place(block)
        if block.about == "reading":
            return f"/readings/{block.key}", _("The reading")
        if block.about == "readings":
            return f"/units/{self.unit['id']}/readings", _("Take a reading")
        if block.about == "part":
            return f"/units/{self.unit['id']}/parts", _("Its parts")
        if block.about == "check" and block.key == "water" and "inspector" in self.held.roles:
            return self.look_href(), _("Mark on the van what was found")
        return (self.look_href(), _("Go on walking")) if block.about == "walk" else ("", "")

    def marker_place(self, block: Block) -> tuple[str, str]:
        """Where a marker goes on: its second look, its job, or the walk that made it."""
        if block.key in self.reworked:
            return f"/again/{self.unit['id']}", _("Look again")
        job = signoff.job_of(self.db, block.key)
        if job is not None:
            return f"/rework/{job}", _("Open its job")
        return self.look_href(), _("Open the walk")

    def mark(self, row: sqlite3.Row, asked: set[str]) -> dict[str, Any]:
        """A marker for the drawing and the list beside it."""
        catalogue = self.house.journal.catalogue()
        shown = {key: row[key] for key in ("id", "tag", "view", "x", "y", "x2", "y2", "state", "severity", "words")}
        return {
            **shown,
            "kind": kind_label(catalogue, row["kind"]),
            "size": size_text(catalogue, row),
            "limit": row["limit_text"],
            "says": _(IN_WORDS[row["state"]]),
            "escape": bool(row["escape"]),
            "undecided": row["state"] in UNDECIDED,
            "asked": row["id"] in asked,
        }

    def views(self, marks: Sequence[sqlite3.Row]) -> list[dict[str, Any]]:
        """The views of the van with how many rings each has."""
        rings = Counter(row["view"] for row in marks)
        outline = self.house.journal.outline(self.unit["outline"])
        return [
            {"id": view.id, "label": _(view.label), "listed": view.listed, "rings": rings[view.id]}
            for view in outline.views
            if not view.listed or rings[view.id]
        ]

    def sheet(self, row: sqlite3.Row) -> dict[str, Any]:
        """One revision, with what went wrong in its making."""
        trouble = self.house.press.trouble(row["unit"], row["revision"]) if row["state"] == "making" else None
        return {**dict(row), "trouble": _(trouble) if trouble else None}


def gathered(blocks: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Gather blocks that are lifted at one place: ten markers need not ten buttons. Each keeps its own words."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for block in blocks:
        place = (block["href"], block["lifted_by"]) if block["href"] else (block["key"], "")
        found.setdefault(place, {**block, "texts": []})["texts"].append(block["text"])
    return list(found.values())


def counts(marks: Iterable[sqlite3.Row]) -> str:
    """How many markers, and how they ended: "23 made: 19 cleared, 2 accepted, 1 conceded"."""
    states = Counter(row["state"] for row in marks)
    if not states:
        return _("none made")
    parts = [f"{states[state]} {_(IN_WORDS[state])}" for state in DRAWN_STATES if states[state]]
    return ngettext("%(n)s made: %(states)s", "%(n)s made: %(states)s", states.total(), states=", ".join(parts))


def grouped(chassis: str) -> list[str]:
    """A chassis number as it is read out: maker, descriptor, then year and plant, the last six in threes (ISO 3779)."""
    return [chassis[:3], chassis[3:9], chassis[9:11], chassis[11:14], chassis[14:]]


def judged(asked: dict[str, Any], held: Ticket, catalogue: Catalogue) -> dict[str, Any]:
    """A concession with what this person may do about it, as the lifecycle table says."""
    facts = {
        "roles": set(held.roles),
        "online": True,
        "reason": "asked for beside the button",
        "asked_by_me": asked["asked_by"] == held.person,
        "agreed_by_me": any(one["person"] == held.person for one in asked["approvers"]),
        "manager_agrees": "manager" in held.roles or any(one["as"] == "manager" for one in asked["approvers"]),
        "actor_worked": held.person in asked["worked"],
    }
    agree = lifecycle.builtin().decide("concession", "concession_agreed", asked["state"], facts)
    refuse = lifecycle.builtin().decide("concession", "concession_refused", asked["state"], facts)
    severity = catalogue.severities.get(asked["severity"])
    needed = max(asked["needed"], (severity.approvers if severity else None) or 1)
    still = needed - len(asked["approvers"])
    return {
        **asked,
        "needed": needed,
        "kind_label": kind_label(catalogue, asked["kind"]),
        "size_text": size_text(catalogue, asked),
        "may_agree": agree.outcome == "applied" and asked["unit_state"] == "open",
        "may_refuse": refuse.outcome == "applied" and asked["unit_state"] == "open",
        "why_not": agree.sentence if asked["state"] == "asked" and agree.outcome != "applied" else None,
        "still": still if asked["state"] == "asked" else 0,
    }
