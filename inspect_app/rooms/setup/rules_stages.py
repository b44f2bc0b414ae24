"""The form for parts off the van: the stages of each material in their order, waits and windows, how each is done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from wtforms import FieldList, SelectField
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.fields import KeysField, choices
from inspect_app.rooms.setup.rules_base import Block, Figure, Place, RulesForm
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN, key_of
from inspect_app.trade.part_stages import FIRST, LAST, PAINTED
from inspect_app.trade.rule_rows import Span, Stages
from inspect_app.words import gettext as _
from inspect_app.words import lazy

SPARE = 2  # empty places below the stages of a material
MOST_STAGES = 12
MONTH = 43_200  # minutes
FIXED = (FIRST, PAINTED, LAST)
SPANS = {"waits": "new_wait_", "windows": "new_window_"}


@dataclass(frozen=True, kw_only=True)
class Order(Figure):
    """The stages of a material between the first and the last two, which are always the same."""

    def show(self, held: Any) -> Any:
        """Show those between, with some empty places below."""
        between = [one for one in held if one not in FIXED]
        return [*between, *[""] * min(SPARE, MOST_STAGES - len(between))]

    def value(self, typed: Any, was: Any) -> Any:
        """Put the first before and the last two behind; places left empty are nothing."""
        return [FIRST, *(one for one in typed if one), PAINTED, LAST]


class StagesForm(RulesForm):
    """Stages, materials, waits and windows; a stage, a wait and a window can be added."""

    part = "part_stages"
    new_rows: ClassVar[Mapping[Place, str]] = {("part_stages", name): begin for name, begin in SPANS.items()}
    new_stage_label = line(
        lazy("Name"), most=60, hint=lazy("The state a part is in after it, for example: flame-treated")
    )
    new_stage_department = SelectField(lazy("Department"), default="")
    new_stage_text = line(lazy("How it is done"), most=300, long=True)
    new_stage_cautions = KeysField(lazy("Cautions"))
    new_wait_since = SelectField(lazy("From"), default="")
    new_wait_before = SelectField(lazy("To"), default="")
    new_wait_minutes = WholeField(lazy("Not sooner than"), most=MONTH)
    new_wait_text = line(lazy("Why"), most=120, hint=lazy("For example: the paint hardens"))
    new_window_since = SelectField(lazy("From"), default="")
    new_window_before = SelectField(lazy("To"), default="")
    new_window_minutes = WholeField(lazy("Not later than"), most=MONTH)
    new_window_text = line(lazy("Why"), most=120, hint=lazy("For example: the flame's effect has faded"))

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """First what comes after what, then how long, then how."""
        book = catalogue.rule_book.part_stages
        for key, material in book.materials.items():
            at: Place = ("part_stages", "materials", key)
            ends = {"first": _(book.stages[FIRST].label), "painted": _(book.stages[PAINTED].label)}
            label = _("%(material)s: between %(first)s and %(painted)s", material=_(material.label), **ends)
            yield Block(label=label, at=at, rows=(Order(place=(*at, "stages"), field=_order(book)),))
        for name in SPANS:
            for number, span in enumerate(getattr(book, name)):
                yield _span(book, name, number, span)
        for key in _in_order(book):
            yield _stage(catalogue, key)

    def __init__(self, catalogue: Catalogue):
        super().__init__(catalogue)
        book = catalogue.rule_book.part_stages
        ends = [SelectChoice("", _("no new row")), *_named(book)]
        for begin in SPANS.values():
            self[f"{begin}since"].choices = self[f"{begin}before"].choices = ends
        self.new_stage_department.choices = [SelectChoice("", _("no new stage")), *choices(catalogue.departments)]
        self.new_stage_cautions.choices = choices(catalogue.cautions)
        for block in self.rows:
            for order in block.rows:
                for number, one in enumerate(self[order.name], 1):
                    one.label.text = _("Stage %(n)s", n=number)

    def validate(self, extra_validators: Any = None) -> bool:
        """A new row is whole, or is not begun."""
        told = [super().validate(extra_validators), self._whole("new_stage_", ("label", "department", "text"))]
        told += [self._whole(begin, ("since", "before", "minutes", "text")) for begin in SPANS.values()]
        return all(told)

    def changed(self) -> dict[str, Any]:
        """The rules as typed, with what is new at the end of its list."""
        plain = super().changed()
        book = plain["part_stages"]
        if label := self.new_stage_label.data:
            row = {"label": label, "department": self.new_stage_department.data, "text": self.new_stage_text.data}
            row |= {"cautions": list(self.new_stage_cautions.data or ()), "origin": OWN}
            book["stages"][key_of(label, book["stages"])] = row
        for name, begin in SPANS.items():
            if self[f"{begin}minutes"].data is not None:
                row = {one: self[f"{begin}{one}"].data for one in ("since", "before", "minutes", "text")}
                book[name].append({**row, "origin": OWN})
        return plain


def _in_order(book: Stages) -> list[str]:
    """All stages as a part goes through them, those of no material last: as they are kept they have no order."""
    places = {key: place for line in sorted((one.stages for one in book.materials.values()), key=len)
              for place, key in enumerate(line)}  # fmt: skip
    return sorted(book.stages, key=lambda key: places.get(key, len(book.stages)))


def _named(book: Stages, without: tuple[str, ...] = ()) -> list[SelectChoice]:
    return [SelectChoice(key, _(book.stages[key].label)) for key in _in_order(book) if key not in without]


def _order(book: Stages) -> Any:
    between = [SelectChoice("", _("nothing: leave this place out")), *_named(book, FIXED)]
    return FieldList(SelectField(_("Stage"), choices=between), max_entries=MOST_STAGES)


def _span(book: Stages, name: str, number: int, span: Span) -> Block:
    at: Place = ("part_stages", name, number)
    ends = {end: _(book.stages[key].label) for end, key in (("since", span.since), ("before", span.before))}
    if name == "waits":
        label, bound = _("Wait: from %(since)s to %(before)s", **ends), _("Not sooner than")
    else:
        label, bound = _("In time: from %(since)s to %(before)s", **ends), _("Not later than")
    minutes = Figure(place=(*at, "minutes"), label=bound, unit="min", most=MONTH)
    why = line(lazy("Why"), lazy("'Why' is missing; say it in a few words."), most=120)
    text = Figure(place=(*at, "text"), field=why)
    return Block(label=label, at=at, figures=(minutes,), says=(text,), can_go=True)


def _stage(catalogue: Catalogue, key: str) -> Block:
    at: Place = ("part_stages", "stages", key)
    stage = catalogue.rule_book.part_stages.stages[key]
    label = line(lazy("Name"), lazy("'Name' is missing; write what the shop calls it."), most=60)
    department = SelectField(lazy("Department"), choices=choices(catalogue.departments, stage.department))
    text = line(
        lazy("How it is done"), lazy("'How it is done' is missing; say it in a few words."), most=300, long=True
    )
    cautions = KeysField(lazy("Cautions"), choices=choices(catalogue.cautions, *stage.cautions))
    return Block(
        label=_(stage.label),
        at=at,
        says=(
            Figure(place=(*at, "label"), field=label),
            Figure(place=(*at, "department"), field=department),
            Figure(place=(*at, "text"), field=text),
        ),
        folded=(Figure(place=(*at, "cautions"), field=cautions, keep=True),),
        closed=True,
    )
