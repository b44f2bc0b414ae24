"""The form for what gates ask for: the hint beside it, each value with its bounds or its choices, and new values."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wtforms import BooleanField, Field, SelectField
from wtforms.fields import SelectChoice

from inspect_app.journal.gates_read import READ
from inspect_app.rooms.setup.fields import KeysField, choices
from inspect_app.rooms.setup.rules_base import Block, Figure, Place, RulesForm
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN, key_of
from inspect_app.trade.catalogue_rows import Gate
from inspect_app.trade.rule_rows import Ask, Asked
from inspect_app.words import gettext as _
from inspect_app.words import lazy

HIGHEST = 999_999
WORKED_OUT = ("identity", "marks", "coverage", "parts", "release", *READ)
"""Gates that rows and readings answer for: nothing is written down there."""


class GatesForm(RulesForm):
    """What is written down at each gate; a value can be taken out, and one added."""

    part = "gate_values"
    new_gate = SelectField(lazy("Gate"), default="")
    new_label = line(lazy("What is asked"), most=80, hint=lazy("For example: Depth of tread"))
    new_unit = line(lazy("Unit"), most=12)
    new_least = WholeField(lazy("At least"), most=HIGHEST)
    new_most = WholeField(
        lazy("At most"), most=HIGHEST, description=lazy("With neither it is a few words instead of a figure")
    )
    new_optional = BooleanField(lazy("May stay empty"))

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """Each gate with what it says, then each value that it asks for."""
        for key, asked in catalogue.rule_book.gate_values.items():
            if key not in catalogue.gates:  # the program's rules, on a catalogue that came before that gate
                continue
            gate = catalogue.gates[key]
            yield _gate(catalogue, gate, asked)
            for number, ask in enumerate(asked.asks):
                yield _ask(gate, number, ask)

    def __init__(self, catalogue: Catalogue):
        super().__init__(catalogue)
        gates = {key: gate for key, gate in catalogue.gates.items() if key not in WORKED_OUT}
        self.new_gate.choices = [SelectChoice("", _("no new value")), *choices(gates)]

    def validate(self, extra_validators: Any = None) -> bool:
        """A new value has a gate and says what is asked; a figure has both its ends."""
        told = [super().validate(extra_validators), self._whole("new_", ("gate", "label"))]
        ends = [self.new_least, self.new_most]
        if any(one.data is not None for one in ends):
            told.append(self._whole("new_", ("gate", "label", "least", "most")))
        return all(told)

    def changed(self) -> dict[str, Any]:
        """The rules as typed, with the new value behind those of its gate."""
        plain = super().changed()
        gate, label = self.new_gate.data, self.new_label.data
        if not gate or not label:
            return plain
        asked = plain["gate_values"].setdefault(gate, {"hint": "", "asks": [], "origin": OWN})
        row: dict[str, Any] = {"key": key_of(label, {one["key"] for one in asked["asks"]}), "label": label}
        row |= {"optional": True} if self.new_optional.data else {}
        if self.new_most.data is not None:
            row |= {"unit": self.new_unit.data or "", "least": self.new_least.data, "most": self.new_most.data}
        asked["asks"].append(row)
        return plain

    def joined_by_new(self) -> Iterator[Place]:
        """The gate that gets the new value."""
        if self.new_gate.data in self.catalogue.rule_book.gate_values and self.new_label.data:
            yield ("gate_values", self.new_gate.data)

    def of(self, place: Place) -> Field | None:
        """A fault of something that has no field of its own stands beside the name of its value, or the hint."""
        found = super().of(place)
        if found is not None or place[:2] != ("rules", "gate_values") or len(place) < 3:
            return found
        if len(place) > 4 and place[3] == "asks":
            of_new = place[2] == self.new_gate.data and place[2] not in self.catalogue.rule_book.gate_values
            return self.new_label if of_new else super().of((*place[:5], "label"))
        return super().of((*place[:3], "hint"))


def _gate(catalogue: Catalogue, gate: Gate, asked: Asked) -> Block:
    at: Place = ("gate_values", gate.key)
    hint = line(lazy("What stands beside it"), most=400, long=True)
    cautions = KeysField(lazy("Cautions"), choices=choices(catalogue.cautions, *asked.cautions))
    again = BooleanField(
        lazy("Again after work on a seal"),
        description=lazy("The gate opens when work on a seal came after it"),
    )
    return Block(
        label=_(gate.label),
        at=at,
        says=(Figure(place=(*at, "hint"), field=hint, keep=True),),
        ticks=(Figure(place=(*at, "retest"), field=again, optional=True),),
        folded=(Figure(place=(*at, "cautions"), field=cautions),),
    )


def _ask(gate: Gate, number: int, ask: Ask) -> Block:
    at: Place = ("gate_values", gate.key, "asks", number)
    asked = line(lazy("What is asked"), lazy("'What is asked' is missing; say it."), most=80, hint=_decides(ask))
    says = [Figure(place=(*at, "label"), field=asked)]
    for place in range(len(ask.choices)):
        label = _("Choice %(n)s", n=place + 1)
        said = line(label, _("'%(label)s' is missing; say it.", label=label), most=60)
        says.append(Figure(place=(*at, "choices", place, "label"), field=said))
    may = BooleanField(lazy("May stay empty"))
    return Block(
        label=_("%(gate)s: %(asked)s", gate=_(gate.label), asked=_(ask.label)),
        at=at,
        figures=_bounds(at, ask),
        says=tuple(says),
        ticks=(Figure(place=(*at, "optional"), field=may, optional=True),),
        can_go=True,
        origin=("gate_values", gate.key),
    )


def _bounds(at: Place, ask: Ask) -> tuple[Figure, ...]:
    if ask.most is None:
        return ()
    largest = 0 if ask.tenths else HIGHEST
    least = Figure(place=(*at, "least"), label=_("At least"), unit=ask.unit, most=largest)
    most = Figure(place=(*at, "most"), label=_("At most"), unit=ask.unit, most=largest)
    return least, most, Figure(place=(*at, "unit"), field=line(lazy("Unit"), most=12))


def _decides(ask: Ask) -> str:
    """What of a value means that the gate does not hold, or that it is due."""
    labels = {choice.key: _(choice.label) for choice in ask.choices}
    if ask.fails:
        return _("The gate does not hold when it is: %(choice)s", choice=labels.get(ask.fails, ask.fails))
    if ask.none:
        return _("The gate does not hold above 0")
    if ask.all_of:
        return _("The gate does not hold when it is less than what was checked")
    return ""
