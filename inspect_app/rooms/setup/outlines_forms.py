"""Forms about outlines: the numbers of a van, an SVG of one's own, and what is drawn on it."""

from __future__ import annotations

from typing import Any

from flask_wtf import FlaskForm
from flask_wtf.file import FileField, FileRequired
from wtforms import Field, HiddenField, RadioField, SelectMultipleField, SubmitField, ValidationError
from wtforms.fields import SelectChoice

from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.outline_numbers import HEIGHT, LENGTH, OURS, WHEELBASE, WIDTH, Numbers
from inspect_app.words import gettext as _
from inspect_app.words import lazy

HEIGHTS = {roof: lazy("%(low)s to %(high)s", low=low, high=high) for roof, (low, high) in HEIGHT.items()}


def millimetres(label: str, hint: str) -> WholeField:
    """A length in whole mm, as data sheets have it; whether such a van can be is said elsewhere."""
    wrong = lazy("'%(name)s' must be a whole number of mm, such as 5950.", name=label)
    return WholeField(label, most=999_999, wrong=wrong, asked=wrong, blanks=True, description=hint)


class NamedForm(FlaskForm):
    """A form that names an outline."""

    def validate_name(self, field: Field) -> None:
        """A name goes into the outline's file, and into a line on paper."""
        if field.data and not field.data.isprintable():
            raise ValidationError(
                _("'Name' holds a character that cannot be written or printed; write it again by hand.")
            )


class NumbersForm(NamedForm):
    """The numbers of a van."""

    name = line(
        lazy("Name"),
        most=80,
        hint=lazy("What you call vans of this kind. Left empty, the outline is named by its size"),
    )
    length_mm = millimetres(
        lazy("Length"),
        hint=lazy(
            "Bumper to bumper, %(low)s to %(high)s; steps and hitches do not count",
            low=LENGTH[0], high=LENGTH[1],
        ),
    )  # fmt: skip
    wheelbase_mm = millimetres(
        lazy("Wheelbase"),
        hint=lazy("Axle to axle, %(low)s to %(high)s", low=WHEELBASE[0], high=WHEELBASE[1]),
    )
    width_mm = millimetres(
        lazy("Width"),
        hint=lazy("Without mirrors, where it is widest, %(low)s to %(high)s", low=WIDTH[0], high=WIDTH[1]),
    )
    height_mm = millimetres(
        lazy("Height"),
        hint=lazy(
            "Without fan and aerial; low roof %(low)s, mid %(mid)s, high %(high)s",
            **HEIGHTS,
        ),
    )
    roof = RadioField(
        lazy("Roof"),
        choices=[
            SelectChoice("low", lazy("Low")),
            SelectChoice("mid", lazy("Mid")),
            SelectChoice("high", lazy("High")),
        ],
        validate_choice=False,
    )
    body = RadioField(
        lazy("Body"),
        choices=[
            SelectChoice("panel", lazy("Panel van")),
            SelectChoice("wide", lazy("Wide body: wider than its cab, with wide arches and mouldings")),
        ],
        validate_choice=False,
    )
    sliding_door = RadioField(
        lazy("Sliding door"),
        choices=[
            SelectChoice("left", lazy("On the left")),
            SelectChoice("right", lazy("On the right")),
            SelectChoice("both", lazy("On both sides")),
        ],
        description=lazy("Left and right as the driver sits"),
        validate_choice=False,
    )
    seen = HiddenField()
    look = SubmitField(lazy("Look at it"))
    keep = SubmitField(lazy("Keep this outline"))

    def numbers(self) -> Numbers:
        """What was typed, once the form is valid."""
        fields = ("length_mm", "wheelbase_mm", "width_mm", "height_mm", "roof", "body", "sliding_door")
        return Numbers(**{name: self[name].data for name in fields})

    def tell(self, faults: dict[str, str]) -> None:
        """Put each sentence beside its field."""
        for name, sentence in faults.items():
            self[name].errors = [sentence]


class DrawingForm(FlaskForm):
    """An SVG file."""

    file = FileField(
        lazy("SVG file"), validators=[FileRequired(lazy("'SVG file' is missing; choose the file you drew."))]
    )
    save = SubmitField(lazy("Read it"))


class KeepForm(NamedForm):
    """A drawing that was read and looked at."""

    name = line(lazy("Name"), most=80, hint=lazy("Left empty, the outline keeps the title of its file"))
    keep = SubmitField(lazy("Keep this outline"))


class ModelForm(FlaskForm):
    """New units of a make and model."""

    make = line(lazy("Make"), lazy("'Make' is missing; write it as the list of units does."), most=120)
    model = line(lazy("Model"), lazy("'Model' is missing; write it as the list of units does."), most=120)
    save = SubmitField(lazy("Draw new ones on this"))


class UnitsForm(FlaskForm):
    """Units that may still be drawn on another outline."""

    units = SelectMultipleField(lazy("Units"))
    save = SubmitField(lazy("Draw these on it"))

    def __init__(self, *args: Any, units: list[tuple[str, str]], **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.units.choices = [SelectChoice(key, label) for key, label in units]


STARTING = {
    name: getattr(OURS, name)
    for name in ("length_mm", "wheelbase_mm", "width_mm", "height_mm", "roof", "body", "sliding_door")
}
