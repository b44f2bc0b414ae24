"""Forms about one row of the catalogue: a department, a gate, a build option. Kinds and methods have their own files.

Each form shows a row (`shown`), makes the row anew (`row`), and knows which of its fields a fault is about (`of`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask_wtf import FlaskForm
from wtforms import BooleanField, Field, HiddenField, SubmitField
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.fields import KeysField
from inspect_app.rooms.units.forms import line
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN, free_key
from inspect_app.trade.catalogue_rows import Department, Gate, Option, Row
from inspect_app.trade.catalogue_words import ROLES
from inspect_app.trade.outline import Outline
from inspect_app.words import gettext as _
from inspect_app.words import lazy

Place = tuple[str | int, ...]


class ChangeForm(FlaskForm):
    """What every change of the catalogue carries: which version it was made from, and why, in words."""

    made_from = HiddenField()
    why = line(lazy("Why"), most=300, hint=lazy("For the list of versions; may stay empty"))
    keep = SubmitField(lazy("Keep"))


class RowForm(ChangeForm):
    """A row by name, with where its values come from."""

    part = ""
    label = line(lazy("Name"), lazy("'Name' is missing; write what the shop calls it."), most=60)
    origin = line(
        lazy("Where the values come from"),
        most=200,
        hint=lazy("A data sheet, a trial of your own. Left as it is, a changed row says that this plant set it"),
        long=True,
    )

    def __init__(self, catalogue: Catalogue, row: Any = None, **kwargs: Any):
        self.catalogue, self.before = catalogue, row
        shown = self.shown(row) if row else self.empty()
        super().__init__(data={**shown, **kwargs})
        self.settle(row)

    def settle(self, row: Any) -> None:
        """Fill in choices."""

    def empty(self) -> dict[str, Any]:
        """What a new row begins with."""
        return {}

    def shown(self, row: Any) -> dict[str, Any]:
        """What the fields show of a row."""
        return dict(vars(row))

    def key(self) -> str:
        """The row's key: its own, or a free one made of its name."""
        return self.before.key if self.before else free_key(self.catalogue, self.part, self.label.data or "")

    def head(self) -> dict[str, Any]:
        """What all rows share, as this form has it."""
        origin = self.origin.data or (self.before.origin if self.before else OWN)
        return {"key": self.key(), "label": self.label.data or "", "origin": origin}

    def made(self, cls: type[Row], **values: Any) -> Any:
        """The row with these values; what the form does not show stays as it was."""
        if self.before is not None:
            return replace(self.before, **self.head(), **values)
        return cls(**self.head(), **values)

    def row(self) -> Any:
        """The row as it was typed."""
        raise NotImplementedError

    def of(self, place: Place) -> Field | None:
        """The field that a fault is about, None when it is about another row or no field."""
        if place[:2] != (self.part, self.key()) or len(place) < 3:
            return None
        found: Field | None = self._fields.get(str(place[2]))
        return found


class DepartmentForm(RowForm):
    """Who makes or mends a flaw."""

    part = "departments"
    short = line(
        lazy("Short name"),
        lazy("'Short name' is missing; up to eight letters, for narrow lists."),
        most=8,
        hint=lazy("For narrow lists"),
    )
    takes_jobs = BooleanField(
        lazy("Takes jobs"), description=lazy("Off: flaws may come from there, but no rework is sent there")
    )

    def empty(self) -> dict[str, Any]:
        """Most departments take jobs."""
        return {"takes_jobs": True}

    def row(self) -> Department:
        """The department as it was typed."""
        made: Department = self.made(Department, short=self.short.data or "", takes_jobs=bool(self.takes_jobs.data))
        return made


class GateForm(RowForm):
    """A question that must be answered before a unit is released."""

    part = "gates"
    question = line(
        lazy("Question"),
        lazy("'Question' is missing; write what must hold, to be answered by yes."),
        most=300,
        long=True,
    )
    lifted_by = KeysField(lazy("Answered by"), choices=[SelectChoice(key, lazy(label)) for key, label in ROLES.items()])
    by_default = BooleanField(
        lazy("In force"), description=lazy("Every unit that is not signed yet is asked from now on")
    )

    def row(self) -> Gate:
        """The gate as it was typed."""
        made: Gate = self.made(
            Gate,
            question=self.question.data or "",
            lifted_by=self.lifted_by.data,
            by_default=bool(self.by_default.data),
        )
        return made


class OptionForm(RowForm):
    """What a van may be ordered with, and the zones that hang on it."""

    part = "options"
    brings = KeysField(
        lazy("Only vans with this option have"), description=lazy("On every van without it, these zones are not fitted")
    )
    takes = KeysField(
        lazy("Vans with this option do not have"), description=lazy("On a van with it, these zones are not fitted")
    )

    def __init__(self, catalogue: Catalogue, row: Any = None, *, outline: Outline, **kwargs: Any):
        self.outline = outline
        super().__init__(catalogue, row, **kwargs)
        self.label.description = _("As it stands in the list of units, for example: roof fan")

    def settle(self, row: Any) -> None:
        """All zones of the outline, and those of other outlines that were chosen before."""
        known = {zone.id: zone.label for zone in self.outline.zones}
        chosen = {zone: zone for zone in (*row.brings, *row.takes)} if row else {}
        zones = [SelectChoice(key, _(label)) for key, label in {**chosen, **known}.items()]
        self.brings.choices = self.takes.choices = zones

    def row(self) -> Option:
        """The option as it was typed."""
        made: Option = self.made(Option, brings=self.brings.data, takes=self.takes.data)
        return made
