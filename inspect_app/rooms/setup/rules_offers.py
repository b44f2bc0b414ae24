"""The form for the methods in question: which ones come into question for a kind, the mildest first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from wtforms import Field, FieldList, SelectField, ValidationError
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.fields import KeysField, choices
from inspect_app.rooms.setup.rules_base import Block, Figure, Place, RulesForm
from inspect_app.trade.catalogue import Catalogue
from inspect_app.words import gettext as _
from inspect_app.words import lazy

OFFERS: Place = ("selectors", "offers")
SPARE = 2
MOST = 12  # methods of a kind


def once(_form: Any, field: Field) -> None:
    """A kind has a method at least, and none twice."""
    named = [one for one in field.data if one]
    if not named:
        raise ValidationError(_("Choose one method at least; without one nothing could be done."))
    if len(set(named)) < len(named):
        raise ValidationError(_("A method stands here twice; keep one of them."))


@dataclass(frozen=True, kw_only=True)
class Mildest(Figure):
    """Methods in their order, with some empty places below."""

    def show(self, held: Any) -> Any:
        """Show them all."""
        return [*held, *[""] * min(SPARE, MOST - len(held))]

    def value(self, typed: Any, was: Any) -> Any:
        """Places left empty are nothing."""
        return [one for one in typed if one]


class OffersForm(RulesForm):
    """The methods of each row of kinds; a row for kinds of the plant's own can be added."""

    part = "offers"
    new_rows: ClassVar[Mapping[Place, str]] = {OFFERS: "new_"}
    new_kinds = KeysField(lazy("Kinds"))
    new_methods = FieldList(SelectField(lazy("Method"), default=""), min_entries=4, max_entries=MOST)

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """Each row by its kinds."""
        for number, offer in enumerate(catalogue.rule_book.selectors.offers):
            at: Place = (*OFFERS, number)
            named = [_(catalogue.kinds[key].label) for key in offer.kinds if key in catalogue.kinds]
            picks = FieldList(SelectField(_("Method"), choices=_methods(catalogue, *offer.methods)),
                              max_entries=MOST, validators=[once])  # fmt: skip
            methods = Mildest(place=(*at, "methods"), field=picks)
            yield Block(label=", ".join(named), at=at, rows=(methods,), closed=True, can_go=True, origin=())

    def __init__(self, catalogue: Catalogue):
        super().__init__(catalogue)
        offered = catalogue.rule_book.selectors.offered
        own = {key: kind for key, kind in catalogue.kinds.items() if key not in offered}
        self.new_kinds.choices = choices(own)
        for one in self.new_methods:
            one.choices = _methods(catalogue)
        for row in (self.new_methods, *(self[block.rows[0].name] for block in self.rows)):
            for number, one in enumerate(row, 1):
                one.label.text = _("Method %(n)s", n=number)

    def validate(self, extra_validators: Any = None) -> bool:
        """A new row has kinds and methods."""
        told = super().validate(extra_validators)
        kinds, methods = bool(self.new_kinds.data), any(self.new_methods.data)
        if kinds == methods:
            return told
        if kinds:
            self.new_methods.errors = [_("Choose one method at least; without one nothing could be done.")]
        else:
            self.new_kinds.errors = [_("'Kinds': choose one at least for the new row.")]
        return False

    def changed(self) -> dict[str, Any]:
        """The rules as typed, with the new row behind the others."""
        plain = super().changed()
        if self.new_kinds.data:
            methods = list(dict.fromkeys(one for one in self.new_methods.data if one))
            plain["selectors"]["offers"].append({"kinds": list(self.new_kinds.data), "methods": methods})
        return plain

    def stands_for(self, row: Place | None) -> Place:
        """A row is its methods."""
        return ("methods",)


def _methods(catalogue: Catalogue, *chosen: str) -> list[SelectChoice]:
    return [SelectChoice("", _("nothing: leave this place out")), *choices(catalogue.methods, *chosen)]
