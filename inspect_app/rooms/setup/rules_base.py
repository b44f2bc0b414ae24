"""Forms for the rules: each field knows its place in the plain form of the rules, and takes its value there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from wtforms import BooleanField, Field

from inspect_app.rooms.setup.catalogue_forms import ChangeForm
from inspect_app.rooms.setup.fields import TenthsField
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade import rules
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN
from inspect_app.words import gettext as _
from inspect_app.words import lazy

Place = tuple[str | int, ...]


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One value: where it stands in the rules, its name, its unit ("" for a count), whether it may stay empty.

    A figure is in tenths, or whole where `most` says what the largest is; anything else brings its own `field`.
    `keep` writes an empty list or text down, where the rules want one.
    """

    place: Place
    label: str = ""
    unit: str = ""
    most: int = 0
    optional: bool = False
    field: Any = None
    keep: bool = False

    @property
    def name(self) -> str:
        """The name of its field."""
        return name_of(self.place)

    def made(self) -> Any:
        """Its field, not yet bound to a form."""
        if self.field is not None:
            return self.field
        return WholeField(self.label, most=self.most) if self.most else TenthsField(self.label)

    def show(self, held: Any) -> Any:
        """What its field shows of what the rules hold."""
        return held

    def value(self, typed: Any, was: Any) -> Any:
        """What was typed as the rules hold it; None says nothing. What was ticked before keeps its order."""
        if isinstance(typed, tuple | list):
            before = [one for one in was or () if one in typed]
            ticked = [*before, *(one for one in typed if one not in before)]
            return ticked if ticked or self.keep else None
        if typed is None or typed is False or typed == "":
            return "" if self.keep else None
        return typed


@dataclass(frozen=True, kw_only=True)
class Block:
    """The fields of one row, and where its source stands.

    `says` stand below each other, then `figures` side by side, `rows` are lists of fields in their order, `folded`
    stand where one opens them, `ticks` in a row at the end. A row that `can_go` has a tick that takes it out of its
    list. One of many is `closed` until somebody opens it, or something in it is wrong. `origin` is where the source
    stands that such a row shares with others.
    """

    label: str
    at: Place
    figures: tuple[Figure, ...] = ()
    says: tuple[Figure, ...] = ()
    rows: tuple[Figure, ...] = ()
    folded: tuple[Figure, ...] = ()
    ticks: tuple[Figure, ...] = ()
    can_go: bool = False
    closed: bool = False
    origin: Place | None = None

    @property
    def all(self) -> tuple[Figure, ...]:
        """All its fields but source and tick."""
        return (*self.figures, *self.says, *self.rows, *self.folded, *self.ticks)

    @property
    def gone(self) -> str:
        """The name of the tick that takes the row out."""
        return name_of((*self.at, "gone"))

    @property
    def source(self) -> Place:
        """The row that its source stands in."""
        return self.at if self.origin is None else self.origin


def name_of(place: Place) -> str:
    """The name of a field by its place."""
    return "_".join(str(step) for step in place)


def held(plain: Any, place: Place) -> Any:
    """The value at a place, None where nothing is said."""
    for step in place:
        if isinstance(plain, Mapping):
            plain = plain.get(step)
        elif isinstance(plain, list) and isinstance(step, int) and step < len(plain):
            plain = plain[step]
        else:
            return None
    return plain


class RulesForm(ChangeForm):
    """One part of the rules; a subclass says which."""

    part = ""
    catalogue: Catalogue
    rows: tuple[Block, ...]
    new_rows: ClassVar[Mapping[Place, str]] = {}
    """Lists that take a new row: what the names of its fields begin with."""

    @classmethod
    def made_for(cls, catalogue: Catalogue) -> RulesForm:
        """Return the form with a field for each value that the catalogue has here."""
        rows = tuple(cls.told(catalogue))
        fields: dict[str, Any] = {"rows": rows, "catalogue": catalogue}
        for block in rows:
            fields |= {one.name: one.made() for one in block.all}
            if block.origin is None:
                fields[name_of((*block.at, "origin"))] = line(lazy("Where it comes from"), most=300, long=True)
            if block.can_go:
                fields[block.gone] = BooleanField(lazy("Take this row out"))
        made: RulesForm = type(cls.__name__, (cls,), fields)(catalogue)
        return made

    def __init__(self, catalogue: Catalogue):
        self.plain = rules.plain(catalogue.rule_book)
        shown = {one.name: one.show(held(self.plain, one.place)) for block in self.rows for one in block.all}
        sources = {name_of((*block.at, "origin")): held(self.plain, (*block.at, "origin")) or "" for block in self.rows
                   if block.origin is None}  # fmt: skip
        super().__init__(data={"made_from": catalogue.hash, **shown, **sources})

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """The rows with their fields."""
        raise NotImplementedError

    def validate(self, extra_validators: Any = None) -> bool:
        """Every figure is there that must be."""
        whole = bool(super().validate(extra_validators))
        for block in self.rows:
            for one in block.all:
                typed = self[one.name]
                if typed.data is None and not one.optional and not typed.errors and not self.goes(block):
                    typed.errors = [_("'%(label)s' is missing; write a figure.", label=one.label)]
                    whole = False
        return whole

    def goes(self, block: Block) -> bool:
        """Whether a row is to be taken out."""
        return block.can_go and bool(self[block.gone].data)

    def blocks(self) -> list[dict[str, Any]]:
        """The rows with their fields, for the page."""
        return [
            {
                "label": block.label,
                "closed": block.closed,
                "faulty": any(self[one.name].errors for one in block.all),
                "fields": [(self[one.name], one.unit) for one in block.figures],
                "says": [self[one.name] for one in block.says],
                "rows": [self[one.name] for one in block.rows],
                "folded": [self[one.name] for one in block.folded],
                "ticks": [
                    *(self[one.name] for one in block.ticks),
                    *([self[block.gone]] if block.can_go else []),
                ],
                "origin": None if block.origin is not None else self[name_of((*block.at, "origin"))],
            }
            for block in self.rows
        ]

    def edited(self) -> Catalogue:
        """The catalogue with these values."""
        return rules.with_rules(self.catalogue, rules.from_plain(self.changed()))

    def changed(self) -> dict[str, Any]:
        """The rules as plain values, as typed; changed ones are the plant's own unless it names a source."""
        other = set(self.joined_by_new())
        for block in self.rows:
            for one in block.all:
                was, at = held(self.plain, one.place), held(self.plain, one.place[:-1])
                value = one.value(self[one.name].data, was)
                if value != was:
                    other.add(block.source)
                if value is None:
                    at.pop(one.place[-1], None)
                else:
                    at[one.place[-1]] = value
            if self.goes(block):
                other.add(block.source)
        for block in self.rows:
            if block.origin is None:
                row, typed = held(self.plain, block.at), self[name_of((*block.at, "origin"))].data or ""
                row["origin"] = OWN if not typed or (block.at in other and typed == row.get("origin")) else typed
        for block in reversed(self.rows):
            if self.goes(block):
                del held(self.plain, block.at[:-1])[block.at[-1]]
        return self.plain

    def _whole(self, begin: str, names: tuple[str, ...]) -> bool:
        """Whether a new row is whole, or not begun; else the fields that miss something say so."""
        fields = [self[f"{begin}{name}"] for name in names]
        missing = [one for one in fields if one.data in (None, "") and not one.errors]
        if len(missing) == len(fields):
            return True
        for one in missing:
            one.errors = [_("'%(label)s' is missing; fill it in, or leave the new row empty.", label=one.label.text)]
        return not missing

    def joined_by_new(self) -> Iterator[Place]:
        """The rows that a new row comes under, so that their source is the plant's own."""
        yield from ()

    def of(self, place: Place) -> Field | None:
        """The field that a fault is about: rows taken out move the others, a new row has fields of its own."""
        if place[:1] != ("rules",):
            return None
        found: Field | None = self._fields.get(self._name(place[1:]))
        return found

    def _name(self, place: Place) -> str:
        for at in {block.at[:-1] for block in self.rows if block.can_go}:
            if len(place) > len(at) and place[: len(at)] == at and isinstance(place[len(at)], int):
                return self._in_list(at, place)
        return name_of(place)

    def _in_list(self, at: Place, place: Place) -> str:
        left = [block.at[-1] for block in self.rows if block.at[:-1] == at and not self.goes(block)]
        number, field = int(place[len(at)]), place[len(at) + 1 :]
        if number < len(left):
            return name_of((*at, left[number], *(field or self.stands_for((*at, left[number])))))
        return f"{self.new_rows.get(at, 'new_')}{name_of(field or self.stands_for(None))}"

    def stands_for(self, row: Place | None) -> Place:
        """The field beside which a fault of a whole row stands; None is the new row."""
        return ()
