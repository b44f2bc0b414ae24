"""Forms for the figures of the rules: each figure knows its place in the plain form of the rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from wtforms import BooleanField, Field, SelectField
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.catalogue_forms import ChangeForm
from inspect_app.rooms.setup.fields import KeysField, TenthsField, WholeField, choices
from inspect_app.rooms.units.forms import line
from inspect_app.trade import rules
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN
from inspect_app.trade.catalogue_words import PAINTS
from inspect_app.trade.cluster_rows import PLACED
from inspect_app.trade.reading_taken import PLACES
from inspect_app.trade.rule_rows import Cluster, Rules
from inspect_app.trade.rule_words import WITHIN, cluster_text
from inspect_app.words import gettext as _
from inspect_app.words import lazy

Place = tuple[str | int, ...]


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure: where it stands in the rules, its name, its unit ("" for a count), whether it may stay empty."""

    place: Place
    label: str
    unit: str = ""
    most: int = 0
    optional: bool = False

    @property
    def name(self) -> str:
        """The name of its field."""
        return name_of(self.place)


@dataclass(frozen=True, kw_only=True)
class Block:
    """The figures of one row, and where its source stands."""

    label: str
    at: Place
    figures: tuple[Figure, ...]


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
    """The figures of one part of the rules; a subclass says which."""

    part = ""
    catalogue: Catalogue
    rows: tuple[Block, ...]

    @classmethod
    def made_for(cls, catalogue: Catalogue) -> RulesForm:
        """Return the form with a field for each figure that the catalogue has here."""
        rows = tuple(cls.told(catalogue))
        fields: dict[str, Any] = {"rows": rows, "catalogue": catalogue}
        for block in rows:
            for one in block.figures:
                kind: Any = WholeField if one.most else TenthsField
                more = {"most": one.most} if one.most else {}
                fields[one.name] = kind(one.label, **more)
            fields[name_of((*block.at, "origin"))] = line(lazy("Where it comes from"), most=300, long=True)
        made: RulesForm = type(cls.__name__, (cls,), {**fields, **cls.more(catalogue)})(catalogue)
        return made

    @classmethod
    def more(cls, catalogue: Catalogue) -> dict[str, Any]:
        """Fields beside the figures."""
        return {}

    def __init__(self, catalogue: Catalogue):
        self.plain = rules.plain(catalogue.rule_book)
        shown = {one.name: held(self.plain, one.place) for block in self.rows for one in block.figures}
        sources = {name_of((*block.at, "origin")): held(self.plain, (*block.at, "origin")) or "" for block in self.rows}
        super().__init__(data={"made_from": catalogue.hash, **shown, **sources})

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """The rows with their figures."""
        raise NotImplementedError

    def validate(self, extra_validators: Any = None) -> bool:
        """Every figure is there that must be."""
        whole = bool(super().validate(extra_validators))
        for block in self.rows:
            for one in block.figures:
                typed = self[one.name]
                if typed.data is None and not one.optional and not typed.errors:
                    typed.errors = [_("'%(label)s' is missing; write a figure.", label=one.label)]
                    whole = False
        return whole

    def blocks(self) -> list[dict[str, Any]]:
        """The rows with their fields, for the page."""
        return [
            {
                "label": block.label,
                "fields": [(self[one.name], one.unit) for one in block.figures],
                "origin": self[name_of((*block.at, "origin"))],
                "gone": self._fields.get(name_of((*block.at, "gone"))),
            }
            for block in self.rows
        ]

    def edited(self) -> Catalogue:
        """The catalogue with these figures."""
        return rules.with_rules(self.catalogue, rules.from_plain(self.changed()))

    def changed(self) -> dict[str, Any]:
        """The rules as plain values, as typed; changed figures are the plant's own unless it names a source."""
        for block in self.rows:
            row, other = held(self.plain, block.at), False
            for one in block.figures:
                value, at = self[one.name].data, held(self.plain, one.place[:-1])
                other |= held(self.plain, one.place) != value
                if value is None:
                    at.pop(one.place[-1], None)
                else:
                    at[one.place[-1]] = value
            typed = self[name_of((*block.at, "origin"))].data or ""
            row["origin"] = OWN if not typed or (other and typed == row.get("origin")) else typed
        return self.plain

    def of(self, place: Place) -> Field | None:
        """The field that a fault is about."""
        if place[:1] != ("rules",):
            return None
        found: Field | None = self._fields.get(name_of(place[1:]))
        return found


class BudgetsForm(RulesForm):
    """The clear-coat budgets."""

    part = "budgets"

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """All spots together, then a row for each paint and its classes."""
        yield Block(
            label=_("All spots"),
            at=("budgets",),
            figures=(
                Figure(place=("budgets", "reach"), label=_("The same clear within"), unit="mm"),
                Figure(place=("budgets", "thin_film"), label=_("A whole film is thin under"), unit="µm"),
                Figure(place=("budgets", "no_cut_film"), label=_("Nothing is cut under"), unit="µm"),
            ),
        )
        for number, one in enumerate(catalogue.rule_book.budgets.budgets):
            at: Place = ("budgets", "budgets", number)
            classes = ", ".join(one.surface_classes)
            yield Block(
                label=_("%(paint)s, class %(classes)s", paint=_(PAINTS.get(one.paint, one.paint)), classes=classes),
                at=at,
                figures=(
                    Figure(place=(*at, "most"), label=_("May come off"), unit="µm"),
                    Figure(place=(*at, "stay"), label=_("Must stay"), unit="µm"),
                    Figure(place=(*at, "clear"), label=_("Assumed to be there"), unit="µm"),
                ),
            )


class ReadingsForm(RulesForm):
    """What readings are held against."""

    part = "readings"

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """A row for each reading."""
        found = catalogue.rule_book.readings
        for place in found.film:
            at: Place = ("readings", "film", place)
            yield Block(
                label=_("film, %(place)s", place=_(PLACES.get(place, place))),
                at=at,
                figures=(
                    Figure(place=(*at, "least"), label=_("Thin under"), unit="µm", optional=True),
                    Figure(place=(*at, "strip"), label=_("Too thick over"), unit="µm"),
                ),
            )
        yield cls._row("colour", _("colour"), ("warn", _("Look again above"), "ΔE00"),
                       ("metallic_trim", _("A trim of metallic or pearl, at most"), "ΔE00"))  # fmt: skip
        yield cls._row("fit", _("gap and step"), ("taper", _("Runs out by at most"), "mm"),
                       ("symmetry", _("Left and right differ by at most"), "mm"),
                       ("proud", _("Proud of the part before it by at most"), "mm"))  # fmt: skip
        yield cls._row("dew", _("dew point"), ("margin", _("Above the dew point at least"), "°C"))
        worst = tuple(
            Figure(place=("readings", "adhesion", "worst", name), most=5,
                   label=_("Worst grade that passes, class %(class_)s", class_=name))
            for name in found.adhesion.worst
        )  # fmt: skip
        thickest = Figure(place=("readings", "adhesion", "thickest"), label=_("No cross-cut above"), unit="µm")
        yield Block(label=_("adhesion"), at=("readings", "adhesion"), figures=(*worst, thickest))

    @staticmethod
    def _row(name: str, label: str, *figures: tuple[str, str, str]) -> Block:
        at: Place = ("readings", name)
        told = tuple(Figure(place=(*at, field), label=said, unit=unit) for field, said, unit in figures)
        return Block(label=label, at=at, figures=told)


class ClustersForm(RulesForm):
    """The rows that reject what lies too close or is too many; rows can be taken out, and one added."""

    part = "clusters"
    new_class = SelectField(lazy("Class"), default="")
    new_within = SelectField(lazy("Where"), default="square")
    new_kinds = KeysField(lazy("Kinds"))
    new_reach = TenthsField(lazy("Within"), description=lazy("Only for a square, a circle or a pair"))
    new_max_count = WholeField(lazy("At most"), most=99)
    new_origin = line(lazy("Where it comes from"), most=300, long=True)

    @classmethod
    def more(cls, catalogue: Catalogue) -> dict[str, Any]:
        """A tick beside each row, to take it out."""
        return {
            f"clusters_{number}_gone": BooleanField(lazy("Take this row out"))
            for number, _row in enumerate(catalogue.rule_book.clusters)
        }

    def __init__(self, catalogue: Catalogue):
        super().__init__(catalogue)
        self.new_class.choices = [SelectChoice("", _("no new row")), *(SelectChoice(one, one) for one in "ABCD")]
        self.new_within.choices = [SelectChoice(key, _(label)) for key, label in WITHIN.items()]
        self.new_kinds.choices = choices(catalogue.kinds)

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """Each row by its class, where it counts, and its kinds."""
        for number, row in enumerate(catalogue.rule_book.clusters):
            at: Place = ("clusters", number)
            kinds = ", ".join(_(catalogue.kinds[key].label) for key in row.kinds if key in catalogue.kinds)
            values = {"class_": row.surface_class, "within": _(WITHIN[row.within]), "kinds": kinds}
            reach = (Figure(place=(*at, "reach"), label=_("Within"), unit="mm"),) if row.within in PLACED else ()
            counts = (
                ()
                if row.within == "pair"
                else (
                    Figure(place=(*at, "max_count"), label=_("At most"), most=99),
                    Figure(place=(*at, "raking_max_count"), label=_("In raking light"), most=99, optional=True),
                )
            )
            yield Block(label=_("Class %(class_)s, %(within)s: %(kinds)s", **values), at=at, figures=(*reach, *counts))

    def validate(self, extra_validators: Any = None) -> bool:
        """A new row has its kinds, and its figures where they are asked."""
        whole = super().validate(extra_validators)
        if not self.new_class.data:
            return whole
        if not self.new_kinds.data:
            self.new_kinds.errors = [_("'Kinds': choose one at least for the new row.")]
            whole = False
        if self.new_max_count.data is None and self.new_within.data != "pair":
            self.new_max_count.errors = [_("'At most' is missing; write how many the new row lets through.")]
            whole = False
        if self.new_reach.data is None and self.new_within.data in PLACED:
            self.new_reach.errors = [_("'Within' is missing; write how far the new row reaches.")]
            whole = False
        return whole

    def changed(self) -> dict[str, Any]:
        """Changed figures make old words untrue: they are written anew."""
        was: Rules = self.catalogue.rule_book
        plain = super().changed()
        made = []
        for number, row in enumerate(plain["clusters"]):
            before = was.clusters[number]
            figures = (row.get("reach"), row.get("max_count", 1), row.get("raking_max_count"))
            if figures != (before.reach, before.max_count, before.raking_max_count):
                row["text"] = cluster_text(Cluster(**{**row, "kinds": tuple(row["kinds"])}))
            if not self[f"clusters_{number}_gone"].data:
                made.append(row)
        if self.new_class.data:
            made.append(self._new())
        return {**plain, "clusters": made}

    def _new(self) -> dict[str, Any]:
        placed = self.new_within.data in PLACED
        row: dict[str, Any] = {
            "surface_class": self.new_class.data,
            "within": self.new_within.data,
            "kinds": list(self.new_kinds.data),
            "max_count": 1 if self.new_within.data == "pair" else self.new_max_count.data,
            "origin": self.new_origin.data or OWN,
        }
        row |= {"reach": self.new_reach.data} if placed else {}
        return {**row, "text": cluster_text(Cluster(**{**row, "kinds": tuple(row["kinds"]), "text": ""}))}

    def of(self, place: Place) -> Field | None:
        """Rows that were taken out move the others; a fault of the new row stands beside its field."""
        if len(place) < 3 or place[:2] != ("rules", "clusters") or not isinstance(place[2], int):
            return super().of(place)
        left = [number for number, _row in enumerate(self.rows) if not self[f"clusters_{number}_gone"].data]
        field = str(place[3]) if len(place) > 3 else "max_count"
        name = f"clusters_{left[place[2]]}_{field}" if place[2] < len(left) else f"new_{field}"
        found: Field | None = self._fields.get(name)
        return found


FORMS: dict[str, type[RulesForm]] = {"clusters": ClustersForm, "budgets": BudgetsForm, "readings": ReadingsForm}
