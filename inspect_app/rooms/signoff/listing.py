"""What the list pages show: units to sign and what blocks the others, sheets signed lately, concessions."""

from __future__ import annotations

import sqlite3
from typing import Any

from inspect_app.journal.queries import people, sheets, signoff
from inspect_app.journal.tickets import Ticket
from inspect_app.rooms.house import House
from inspect_app.rooms.shown import zone
from inspect_app.rooms.signoff.desk import Desk, judged
from inspect_app.rooms.units.words import due_words
from inspect_app.words import gettext as _
from inspect_app.words import ngettext

AT_SIGNING = ("identity", "release")  # held on the sign-off page itself, in the same breath as the signature


def page(house: House, db: sqlite3.Connection, held: Ticket) -> dict[str, Any]:
    """Units ready to sign, blocked ones with the reason, and what was signed lately."""
    ready: list[dict[str, Any]] = []
    blocked: list[dict[str, Any]] = []
    for unit in signoff.to_sign(db):
        why = _blocks(Desk(house=house, db=db, unit=unit, held=held))
        (blocked if why else ready).append({"unit": unit, "why": why})
    blocked += [{"unit": unit, "why": _counted(unit)} for unit in signoff.not_yet(db)]
    now, place = house.journal.clock(), zone()
    return {
        "due": lambda unit: due_words(unit["due"], now, place),
        "ready": ready,
        "blocked": blocked,
        "signed": [dict(row) for row in sheets.lately(db)],
        "not_walked": signoff.not_walked(db),
        "waiting_concessions": len(signoff.concessions_waiting(db)),
        "names": people.names(db),
    }


def _blocks(desk: Desk) -> str:
    """Name the gates that keep a unit from its signature; of a single one also why."""
    waiting = [gate for gate in desk.states() if gate.key not in AT_SIGNING and gate.blocks]
    if not waiting:
        return ""
    if len(waiting) > 1:
        return _("Blocked: %(gates)s", gates=" · ".join(_(gate.label) for gate in waiting))
    ((gate, why, more),) = [(_(one.label), one.blocks[0].text, len(one.blocks) - 1) for one in waiting]
    if more:
        return _("%(gate)s: %(why)s (and %(n)s more)", gate=gate, why=why, n=more)
    return _("%(gate)s: %(why)s", gate=gate, why=why)


def _counted(unit: sqlite3.Row) -> str:
    """What a unit still waits for, from its counts alone."""
    undone = unit["open"] + unit["in_rework"]
    told = [
        ngettext("%(n)s marker to put right", "%(n)s markers to put right", undone) if undone else "",
        ngettext(
            "%(n)s marker waits for its second look", "%(n)s markers wait for their second look", unit["reworked"]
        ) if unit["reworked"] else "",
        ngettext("%(n)s look undone by work", "%(n)s looks undone by work", unit["voided"]) if unit["voided"] else "",
        ngettext("%(n)s question to answer", "%(n)s questions to answer", unit["questions"])
        if unit["questions"] else "",
    ]  # fmt: skip
    return ", ".join(filter(None, told)) or _("waits for its second look")


def concessions(house: House, db: sqlite3.Connection, held: Ticket) -> dict[str, Any]:
    """Concessions that wait, and those decided lately."""
    catalogue = house.journal.catalogue()
    return {
        "waiting": [judged(one, held, catalogue) for one in signoff.concessions_waiting(db)],
        "decided": [judged(one, held, catalogue) for one in signoff.concessions_decided(db)],
        "names": people.names(db),
    }
