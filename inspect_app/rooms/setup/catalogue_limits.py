"""The limits of one kind: a row for each class and paint, drawn as sizes on either side of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import redirect, render_template
from flask.typing import ResponseReturnValue
from wtforms import Field, Form, FormField, SubmitField

from inspect_app.journal.queries import setup
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.setup.catalogue_forms import ChangeForm
from inspect_app.rooms.setup.catalogue_publish import Tried, publish
from inspect_app.rooms.setup.catalogue_rows import row_of
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.fields import TenthsField
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_change import OWN, limits_of, with_limits
from inspect_app.trade.catalogue_preview import Fact, Otherwise, Rung, judged_otherwise, ladder
from inspect_app.trade.catalogue_rows import Kind, Limit
from inspect_app.trade.catalogue_words import limit_words
from inspect_app.trade.outline import OutlineError
from inspect_app.words import lazy

DAYS = 90
DAY_MS = 86_400_000
CLASSES = ("A", "B", "C", "D")
PLACES: tuple[tuple[str, str | None], ...] = tuple((one, paint) for one in CLASSES for paint in (None, "maker", "ours"))
FIGURES = ("max_size", "max_count", "raking_max_size")


def name_of(surface_class: str, paint: str | None) -> str:
    """The name of a row's fields."""
    return f"{surface_class.lower()}_{paint or 'any'}"


class LimitRow(Form):
    """What is allowed on one class in one paint; without figures there is no row."""

    max_size = TenthsField(lazy("Largest size"))
    max_count = WholeField(lazy("At most on a part"), most=99)
    raking_max_size = TenthsField(lazy("Largest when only raking light shows it"))
    text = line(lazy("In words"), most=200, hint=lazy("Left as it is, it is written anew from changed figures"))
    origin = line(lazy("Where it comes from"), most=200)

    def figures(self) -> tuple[int | None, int | None, int | None]:
        """The three figures."""
        return self.max_size.data, self.max_count.data, self.raking_max_size.data


class LimitsForm(ChangeForm):
    """All rows of a kind."""

    look = SubmitField(lazy("Show what it does"))

    def __init__(self, catalogue: Catalogue, kind: Kind):
        self.catalogue, self.kind = catalogue, kind
        self.was: dict[tuple[str, str | None], Limit] = {
            (one.surface_class, one.paint): one for one in limits_of(catalogue, kind.key)
        }
        shown = {name_of(*place): vars(row) for place, row in self.was.items()}
        super().__init__(data={"made_from": catalogue.hash, **shown})

    def part(self, place: tuple[str, str | None]) -> LimitRow:
        """The fields of one row."""
        found: LimitRow = self[name_of(*place)].form
        return found

    def rows(self) -> list[Limit]:
        """The rows as they were typed: those with a figure."""
        return [row for place in PLACES if (row := self._row(place)) is not None]

    def _row(self, place: tuple[str, str | None]) -> Limit | None:
        typed, was = self.part(place), self.was.get(place)
        figures = typed.figures()
        if figures == (None, None, None):
            return None
        changed = was is None or figures != tuple(getattr(was, name) for name in FIGURES)
        row = Limit(
            kinds=(self.kind.key,),
            surface_class=place[0],  # type: ignore[arg-type]
            paint=place[1],  # type: ignore[arg-type]
            **dict(zip(FIGURES, figures, strict=True)),
            text=typed.text.data or "",
            origin=typed.origin.data or OWN,
        )
        return self._words(row, was) if changed else row

    def _words(self, row: Limit, was: Limit | None) -> Limit:
        """New figures make old words untrue, and an old source too, unless somebody wrote new ones."""
        text = row.text if row.text and (was is None or row.text != was.text) else limit_words(self.kind, row)
        origin = row.origin if was is None or row.origin != was.origin else OWN
        return replace(row, text=text, origin=origin)

    def edited(self) -> Catalogue:
        """The catalogue with these rows."""
        return with_limits(self.catalogue, self.kind.key, self.rows())

    def of(self, edited: Catalogue) -> Any:
        """The field that a fault of the edited catalogue is about."""

        def find(place: tuple[str | int, ...]) -> Field | None:
            if len(place) < 2 or place[0] != "limits" or not isinstance(place[1], int):
                return None
            row = edited.limits[place[1]]
            if self.kind.key not in row.kinds:
                return None
            typed = self.part((row.surface_class, row.paint))
            name = str(place[2]) if len(place) > 2 else "max_size"
            field: Field = typed._fields.get(name, typed.max_size)
            return field

        return find


for place_ in PLACES:
    setattr(LimitsForm, name_of(*place_), FormField(LimitRow))


@room.route("/setup/catalogue/limits/<key>", methods=["GET", "POST"])
@needs("manager")
def limits(key: str) -> ResponseReturnValue:
    """Show and change what is allowed of a kind, class by class."""
    catalogue, tried = journal().catalogue(), Tried()
    kind = row_of(catalogue, "kinds", key)
    form = LimitsForm(catalogue, kind)
    told: Otherwise | None = None
    edited = catalogue
    if form.is_submitted() and form.validate():
        edited = form.edited()
        told = otherwise(catalogue, edited, kind)
        if form.keep.data:
            tried = publish(edited, form, form.of(edited))
            if tried.kept:
                return redirect("/setup/catalogue/limits")
    page = render_template(
        "setup/limits.html",
        form=form,
        kind=kind,
        catalogue=catalogue,
        tried=tried,
        blocks=blocks(form, edited),
        told=told,
        days=DAYS,
    )
    return page, tried.status if form.is_submitted() and not form.look.data else 422 if form.errors else 200


def blocks(form: LimitsForm, edited: Catalogue) -> list[dict[str, Any]]:
    """A block for each class: its rows, each with its fields and its dots."""
    kind_key = form.kind.key
    return [
        {
            "class_": form.catalogue.classes[one],
            "any": (kind_key, one, None) in edited.limit_rows or bool(form.part((one, None)).errors),
            "rows": [
                {"paint": paint, "fields": form.part((one, paint)), "dots": dots(form.kind, edited, one, paint)}
                for paint in (None, "maker", "ours")
            ],
        }
        for one in form.catalogue.classes
    ]


def dots(kind: Kind, edited: Catalogue, surface_class: str, paint: str | None) -> tuple[Rung, ...]:
    """The sizes on either side of the row, as it was typed when that can be read."""
    row = edited.limit_rows.get((kind.key, surface_class, paint))
    return ladder(kind, row) if row is not None else ()


def otherwise(catalogue: Catalogue, edited: Catalogue, kind: Kind) -> Otherwise:
    """How many markers of the last 90 days would be judged otherwise than by the limits in force."""
    since = journal().clock() - DAYS * DAY_MS
    rows = setup.markers_judged(reader(), kind.key, since)
    facts = [_fact(row) for row in rows if not _by_its_joint(kind, row)]
    return judged_otherwise(catalogue, edited, facts)


def _by_its_joint(kind: Kind, row: Any) -> bool:
    return kind.measure == "gap" and row["joint"] is not None and (row["gap"] is not None or row["size"] is None)


def _fact(row: Any) -> Fact:
    return Fact(
        kind=row["kind"],
        surface_class=row["class"],
        size=row["size"],
        count=row["count"],
        others=row["others"],
        raking=bool(row["raking"]),
        paint=_paint(row["outline"], row["zone"]),
    )


def _paint(outline: str, zone: str) -> str | None:
    try:
        return journal().outline(outline).zone(zone).paint
    except (KeyError, OutlineError):
        return None
