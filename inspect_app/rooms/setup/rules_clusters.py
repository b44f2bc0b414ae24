"""The form for clusters and pairs: the rows that reject what lies too close or is too many."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from wtforms import SelectField
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.fields import KeysField, TenthsField, choices
from inspect_app.rooms.setup.rules_base import Block, Figure, Place, RulesForm
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN
from inspect_app.trade.cluster_rows import PLACED
from inspect_app.trade.rule_rows import Cluster, Rules
from inspect_app.trade.rule_words import WITHIN, cluster_text
from inspect_app.words import gettext as _
from inspect_app.words import lazy


class ClustersForm(RulesForm):
    """The rows that reject what lies too close or is too many; rows can be taken out, and one added."""

    part = "clusters"
    new_rows: ClassVar[Mapping[Place, str]] = {("clusters",): "new_"}
    new_class = SelectField(lazy("Class"), default="")
    new_within = SelectField(lazy("Where"), default="square")
    new_kinds = KeysField(lazy("Kinds"))
    new_reach = TenthsField(lazy("Within"), description=lazy("Only for a square, a circle or a pair"))
    new_max_count = WholeField(lazy("At most"), most=99)
    new_origin = line(lazy("Where it comes from"), most=300, long=True)

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
            label = _("Class %(class_)s, %(within)s: %(kinds)s", **values)
            yield Block(label=label, at=at, figures=(*reach, *counts), can_go=True)

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
        left = [before for block, before in zip(self.rows, was.clusters, strict=True) if not self.goes(block)]
        for row, before in zip(plain["clusters"], left, strict=True):
            figures = (row.get("reach"), row.get("max_count", 1), row.get("raking_max_count"))
            if figures != (before.reach, before.max_count, before.raking_max_count):
                row["text"] = cluster_text(Cluster(**{**row, "kinds": tuple(row["kinds"])}))
        if self.new_class.data:
            plain["clusters"].append(self._new())
        return plain

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

    def stands_for(self, row: Place | None) -> Place:
        """A row judges by its count, a pair by its distance."""
        within = self.new_within.data if row is None else self.catalogue.rule_book.clusters[int(row[-1])].within
        return ("reach",) if within == "pair" else ("max_count",)
