"""The form for what bars a method: sentences and figures of the rows, and a row of the plant's own."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from wtforms import Field, SelectField, ValidationError
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.fields import KeysField, TenthsField, choices
from inspect_app.rooms.setup.rules_base import Block, Figure, Place, RulesForm, name_of
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN
from inspect_app.trade.rule_rows import Bar, Condition
from inspect_app.trade.rule_words import CONDITIONS, VALUES
from inspect_app.words import gettext as _
from inspect_app.words import lazy

BARS: Place = ("selectors", "bars")
LISTS: Mapping[str, tuple[str, ...]] = {
    "surface_class": ("A", "B", "C", "D"),
    "paint": ("maker", "ours"),
    "material": ("metal", "plastic", "glass", "rubber"),
    "depth": ("clear", "base", "primer", "metal", "plastic"),
}
"""Conditions that name allowed values, with all there are."""
TRUE = ("on_edge", "horizontal", "nail_catches", "driver_view")
"""What an eye says of a spot, for a new row."""
MOST = 999
WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
"""Counts as the sentences that come with the program say them."""


def some(_form: Any, field: Field) -> None:
    """A condition without a value would hold everywhere."""
    if not field.data:
        said = _("'%(label)s': tick one at least, or take the row out.", label=field.label.text)
        raise ValidationError(said)


def listed(name: str) -> list[SelectChoice]:
    """The values of a condition, to tick."""
    return [SelectChoice(one, _(VALUES.get(one, one))) for one in LISTS[name]]


class BarsForm(RulesForm):
    """Each bar's words, figures, methods and kinds; a bar can be taken out, and one added."""

    part = "bars"
    new_rows: ClassVar[Mapping[Place, str]] = {BARS: "new_"}
    new_sentence = line(lazy("Why it is barred"), most=160, hint=lazy("For example: a dab shows in plain view"))
    new_methods = KeysField(lazy("Methods"))
    new_kinds = KeysField(lazy("Kinds"), description=lazy("None ticked: for any kind"))
    new_when_size_over = TenthsField(lazy("Size above"), description=lazy("In the unit of the kind"))
    new_when_count_over = WholeField(lazy("On the part more than"), most=MOST)
    new_when_surface_class = KeysField(lazy("Class"))
    new_when_paint = KeysField(lazy("Paint"))
    new_when_material = KeysField(lazy("Material"))
    new_when_depth = KeysField(lazy("Down to"))
    new_holds = SelectField(lazy("Only where"), default="")
    new_origin = line(lazy("Where it comes from"), most=300, long=True)

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """Each bar by its sentence and the methods it takes away."""
        for number, bar in enumerate(catalogue.rule_book.selectors.bars):
            yield _bar(catalogue, number, bar)

    def __init__(self, catalogue: Catalogue):
        super().__init__(catalogue)
        self.new_methods.choices = choices(catalogue.methods)
        self.new_kinds.choices = choices(catalogue.kinds)
        for name in LISTS:
            self[f"new_when_{name}"].choices = listed(name)
        holds = [SelectChoice(name, _(CONDITIONS[name])) for name in TRUE]
        self.new_holds.choices = [SelectChoice("", _("everywhere")), *holds]

    def validate(self, extra_validators: Any = None) -> bool:
        """A new bar has a sentence and methods; a sentence does not go on saying a figure that was changed."""
        told = super().validate(extra_validators)
        for block, bar in zip(self.rows, self.catalogue.rule_book.selectors.bars, strict=True):
            if not self.goes(block) and (stale := self._stale(block, bar)):
                field = self[name_of((*block.at, "sentence"))]
                said = _(
                    "'%(label)s' still says %(figure)s; write what holds now.", label=field.label.text, figure=stale
                )
                field.errors, told = [*field.errors, said], False
        if not self.new_sentence.data and not self.new_methods.data:
            return told
        for one in (self.new_sentence, self.new_methods):
            if not one.data and not one.errors:
                said = _("'%(label)s' is missing; fill it in, or leave the new row empty.", label=one.label.text)
                one.errors, told = [said], False
        return told

    def _stale(self, block: Block, bar: Bar) -> str:
        """The old figure that an unchanged sentence still says, where the figure was changed."""
        if self[name_of((*block.at, "sentence"))].data != bar.sentence:
            return ""
        for one in block.figures:
            was, typed = bar.when[str(one.place[-1])], self[one.name].data
            if isinstance(was, int) and typed not in (None, was):
                figure = str(was) if one.most else f"{was / 10:g}"
                words = [figure, figure.replace(".", ","), *(WORDS[was - 1 : was] if one.most else ())]
                pattern = r"(?<![\w.,])%s(?![\w]|[.,]\d)"
                if found := [word for word in words if re.search(pattern % re.escape(word), bar.sentence)]:
                    return found[0]
        return ""

    def changed(self) -> dict[str, Any]:
        """The rules as typed, with the new bar behind the others."""
        plain = super().changed()
        if self.new_sentence.data:
            plain["selectors"]["bars"].append(self._new(self.new_sentence.data))
        return plain

    def _new(self, sentence: str) -> dict[str, Any]:
        when: dict[str, Any] = {self.new_holds.data: True} if self.new_holds.data else {}
        for name in ("size_over", "count_over", *LISTS):
            value = self[f"new_when_{name}"].data
            if value not in (None, ()):
                when[name] = list(value) if isinstance(value, tuple) else value
        row = {"methods": list(self.new_methods.data), "sentence": sentence, "origin": self.new_origin.data or OWN}
        more = {"kinds": list(self.new_kinds.data or ()), "when": when}
        return {**row, **{name: value for name, value in more.items() if value}}

    def of(self, place: Place) -> Field | None:
        """A fault of something that has no field of its own stands beside the sentence of its row."""
        found = super().of(place)
        if found is None and place[:3] == ("rules", *BARS) and len(place) > 3:
            found = super().of(place[:4])
        return found

    def stands_for(self, row: Place | None) -> Place:
        """A row is known by its sentence."""
        return ("sentence",)


def _bar(catalogue: Catalogue, number: int, bar: Bar) -> Block:
    at: Place = (*BARS, number)
    names = [_(catalogue.methods[key].label) for key in bar.methods if key in catalogue.methods]
    kinds = [_(catalogue.kinds[key].label) for key in bar.kinds if key in catalogue.kinds]
    held = [_(CONDITIONS[name]) if wanted else _("not: %(what)s", what=_(CONDITIONS[name]))
            for name, wanted in bar.when.items() if isinstance(wanted, bool) and name in CONDITIONS]  # fmt: skip
    told = "; ".join(filter(None, (", ".join(names), ", ".join(kinds), *held)))
    asked = lazy("'Why it is barred' is missing; say it in a few words.")
    sentence = line(lazy("Why it is barred"), asked, most=160, hint=told, long=True)
    methods = KeysField(lazy("Methods"), choices=choices(catalogue.methods, *bar.methods), validators=[some])
    any_kind = lazy("None ticked: for any kind")
    whose = KeysField(lazy("Kinds"), choices=choices(catalogue.kinds, *bar.kinds), description=any_kind)
    conditions = [_condition(at, name, wanted) for name, wanted in bar.when.items() if not isinstance(wanted, bool)]
    return Block(
        label=_(bar.sentence),
        at=at,
        says=(Figure(place=(*at, "sentence"), field=sentence), *(one for one in conditions if one.field)),
        figures=tuple(one for one in conditions if not one.field),
        folded=(Figure(place=(*at, "methods"), field=methods), Figure(place=(*at, "kinds"), field=whose)),
        can_go=True,
        closed=True,
    )


def _condition(at: Place, name: str, wanted: Condition) -> Figure:
    label, place = _(CONDITIONS.get(name, name)), (*at, "when", name)
    label = f"{label[:1].upper()}{label[1:]}"
    if isinstance(wanted, tuple):
        told = listed(name) if name in LISTS else [SelectChoice(one, one) for one in wanted]
        return Figure(place=place, label=label, field=KeysField(label, choices=told, validators=[some]))
    return Figure(place=place, label=label, most=MOST if name == "count_over" else 0)
