"""The gates of a signing in the words of its sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from inspect_app.journal.queries import people
from inspect_app.sheet import data as said

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
                yield said.Gate(label=gate["label"], state="held", by=signed_by, at=at, note=self.how_signed())
            elif gate["key"] == "marks" and self.telling.found.overrides:
                yield self.overridden(gate["label"])
            else:
                state = "held" if gate["held"] else "blocked"
                note = "; ".join(gate["blocks"]) or self.gate_note(gate["key"])
                yield said.Gate(
                    label=gate["label"], state=state, by=self.telling.name(gate["by"]), at=gate["at"], note=note
                )

    def how_signed(self) -> str:
        """By what the signer proved themselves."""
        return "By PIN and typed name." if self.telling.found.note == TYPED else "By PIN and signature."

    def overridden(self, label: str) -> said.Gate:
        """The gate of marks, with the tablets that were not waited for."""
        rows = self.telling.found.overrides
        tablets = {
            row["id"]: row["name"] or f"tablet {row['letters']}" for row in people.tablets(self.telling.journal.read())
        }
        note = " ".join(f"Not waited for {tablets.get(row['tablet'], 'a tablet')}: {row['note']}" for row in rows)
        who = ", ".join(dict.fromkeys(self.telling.name(row["person"]) for row in rows))
        return said.Gate(label=label, state="overridden", by=who, at=rows[-1]["at"], note=note)

    def gate_note(self, key: str) -> str:
        """What a gate that nobody confirms by name was found to hold."""
        if key == "marks":
            states = Counter(row["state"] for row in self.telling.found.markers if row["severity"] != "S5")
            count = sum(states.values())
            told = "1 marker, decided." if count == 1 else f"{count} markers, all decided."
            return told if count else "No marker that needs a decision."
        if key == "coverage":
            zones = {row["zone"] for row in self.telling.found.looks if not row["voided"]}
            return f"{len(zones)} zones looked at since the last work there."
        return "Chassis number and last six were read on the van." if key == "identity" else ""
