"""The gates of a signing in the words of its sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from inspect_app.journal.queries import people
from inspect_app.sheet import data as said
from inspect_app.sheet.times import Clock
from inspect_app.words import gettext as _
from inspect_app.words import ngettext

if TYPE_CHECKING:
    from inspect_app.rooms.signoff.sheet_data import Telling

TYPED = "typed"
"""The note of a signing whose name was typed instead of drawn."""


@dataclass
class GateWords:
    """Says the gates as the signing found them."""

    telling: Telling

    def gates(self) -> Iterator[said.Gate]:
        """The gates as the signing found them; a tablet passed over is told beside the marks."""
        signed_by, at = self.telling.name(self.telling.found.sheet["signed_by"]), self.telling.found.sheet["signed_at"]
        for gate in self.telling.found.gates:
            if gate["key"] == "release":
                yield said.Gate(label=_(gate["label"]), state="held", by=signed_by, at=at, note=self.how_signed())
            elif gate["key"] == "marks" and self.telling.found.overrides:
                yield self.overridden(_(gate["label"]))
            else:
                state = "held" if gate["held"] else "blocked"
                note = "; ".join(gate["blocks"]) or self.written(gate) or self.gate_note(gate["key"])
                if gate["key"] == "parts" and gate["held"] and not gate["by"]:
                    note = _("Each part that came off is on the van again, its label read.")
                yield said.Gate(
                    label=_(gate["label"]), state=state, by=self.telling.name(gate["by"]), at=gate["at"], note=note
                )

    def written(self, gate: dict[str, Any]) -> str:
        """What was written down at a gate, and when it had not held before."""
        if not gate.get("words"):  # most gates ask for nothing, and earlier signings do not say
            return ""
        zone = Clock(self.telling.timezone)
        failed = [one for one in self.telling.found.checks if one["gate"] == gate["key"] and one["failed"]]
        before = [_("Did not hold %(when)s: %(words)s", when=zone.at(one["at"]), words=one["words"]) for one in failed]
        return ". ".join([gate["words"], *before]) + ("." if before else "")

    def how_signed(self) -> str:
        """By what the signer proved themselves."""
        return _("By PIN and typed name.") if self.telling.found.note == TYPED else _("By PIN and signature.")

    def overridden(self, label: str) -> said.Gate:
        """The gate of marks, with the tablets that were not waited for."""
        rows = self.telling.found.overrides
        tablets = {
            row["id"]: row["name"] or _("tablet %(letters)s", letters=row["letters"])
            for row in people.tablets(self.telling.journal.read())
        }
        note = " ".join(
            _("Not waited for %(tablet)s: %(why)s", tablet=tablets.get(row["tablet"], _("a tablet")), why=row["note"])
            for row in rows
        )
        who = ", ".join(dict.fromkeys(self.telling.name(row["person"]) for row in rows))
        return said.Gate(label=label, state="overridden", by=who, at=rows[-1]["at"], note=note)

    def gate_note(self, key: str) -> str:
        """What a gate that nobody confirms by name was found to hold."""
        if key == "marks":
            states = Counter(row["state"] for row in self.telling.found.markers if row["severity"] != "S5")
            count = sum(states.values())
            told = ngettext("%(n)s marker, decided.", "%(n)s markers, all decided.", count)
            return told if count else _("No marker that needs a decision.")
        if key == "coverage":
            zones = {row["zone"] for row in self.telling.found.looks if not row["voided"]}
            return ngettext(
                "%(n)s zone looked at since the last work there.",
                "%(n)s zones looked at since the last work there.",
                len(zones),
            )
        return _("Chassis number and last six were read on the van.") if key == "identity" else ""
