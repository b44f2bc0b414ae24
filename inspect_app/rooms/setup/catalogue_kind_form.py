"""The form of a kind of defect."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from wtforms import BooleanField, Field, SelectField
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.catalogue_forms import RowForm
from inspect_app.rooms.setup.fields import SizesField, choices
from inspect_app.rooms.units.forms import line
from inspect_app.trade.catalogue_change import with_row
from inspect_app.trade.catalogue_rows import Kind
from inspect_app.trade.catalogue_words import MEASURES
from inspect_app.words import gettext as _
from inspect_app.words import lazy

UNITS = ("mm", "steps", "ΔE00", "GU")


class KindForm(RowForm):
    """What a kind is, how it is measured, who makes it and how it is put right."""

    part = "kinds"
    group = SelectField(lazy("Group"))
    describe = line(
        lazy("What it is"), lazy("'What it is' is missing; say what one sees or feels."), most=300, long=True
    )
    cause = line(lazy("Usual cause"), most=300, long=True)
    measure = SelectField(lazy("What is measured"))
    unit = SelectField(lazy("Unit"), choices=[SelectChoice(one, lazy(one)) for one in UNITS])
    sizes = SizesField(lazy("Size buttons"), description=lazy("Up to seven, with blanks between: 0.3 0.5 0.8"))
    snaps = BooleanField(lazy("The ring jumps to the nearest joint"))
    everyday = SelectField(
        lazy("Everyday place"), description=lazy("The kind that had the place takes this one's; its button comes first")
    )
    origin_department = SelectField(lazy("Made by"), description=lazy("Assumed until a person judges it"))
    method = SelectField(lazy("Method"))
    method_metal = SelectField(lazy("Method on body metal"))
    severity = SelectField(
        lazy("Severity"), description=lazy("Proposed when it is marked; the inspector may change it")
    )
    pictogram = SelectField(lazy("Pictogram"))

    def shown(self, row: Any) -> dict[str, Any]:
        """Empty choices for what a kind has not."""
        return {**vars(row), "everyday": str(row.everyday or ""), "method_metal": row.method_metal or ""}

    def settle(self, row: Any) -> None:
        """Lists of the catalogue at hand."""
        known = self.catalogue
        self.group.choices = choices(known.groups)
        self.measure.choices = [SelectChoice(key, _(label)) for key, label in MEASURES.items()]
        self.everyday.choices = [SelectChoice("", _("none")), *(SelectChoice(str(n), str(n)) for n in range(1, 6))]
        self.origin_department.choices = choices(known.departments, row and row.origin_department)
        self.method.choices = choices(known.methods, row and row.method)
        same = SelectChoice("", _("the same"))
        self.method_metal.choices = [same, *choices(known.methods, row and row.method_metal)]
        self.severity.choices = [
            SelectChoice(one.key, f"{one.key}: {_(one.label)}") for one in known.severities.values()
        ]
        drawn = {kind.pictogram: _(kind.label) for kind in known.kinds.values()}
        self.pictures = list(drawn.items())
        self.pictogram.choices = [SelectChoice(key, label) for key, label in self.pictures]

    def row(self) -> Kind:
        """The kind as it was typed."""
        made: Kind = self.made(
            Kind,
            group=self.group.data,
            describe=self.describe.data or "",
            cause=self.cause.data or "",
            measure=self.measure.data,
            unit=self.unit.data,
            sizes=tuple(self.sizes.data or ()),
            snaps=bool(self.snaps.data),
            everyday=int(self.everyday.data) if self.everyday.data else None,
            origin_department=self.origin_department.data,
            method=self.method.data,
            method_metal=self.method_metal.data or None,
            severity=self.severity.data,
            pictogram=self.pictogram.data,
        )
        return made

    def of(self, place: tuple[str | int, ...]) -> Field | None:
        """Whose everyday place is empty or doubled is said beside this one's."""
        if place[0] == "kinds" and (len(place) == 1 or place[-1] == "everyday"):
            found: Field = self.everyday
            return found
        return super().of(place)


def with_kind(catalogue: Any, row: Kind) -> Any:
    """Put a kind in; whoever had its everyday place takes the one it leaves."""
    before = catalogue.kinds.get(row.key)
    left = before.everyday if before else None
    if row.everyday is not None and row.everyday != left:
        for other in catalogue.everyday():
            if other.everyday == row.everyday and other.key != row.key:
                catalogue = with_row(catalogue, "kinds", replace(other, everyday=left))
    return with_row(catalogue, "kinds", row)
