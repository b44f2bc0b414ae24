"""One form for each sort of reading; each says in `told` what it read, as the event tells it."""

from __future__ import annotations

from typing import Any

from flask_wtf import FlaskForm
from wtforms import HiddenField, SelectField, SubmitField
from wtforms.fields import SelectChoice
from wtforms.validators import DataRequired

from inspect_app.rooms.readings.fields import FigureField
from inspect_app.trade.budget import FILM_METHODS
from inspect_app.trade.reading_taken import PLACES
from inspect_app.words import gettext as _
from inspect_app.words import lazy

ANGLES = (15, 45, 110)
POINTS = ("start", "middle", "end")


class ReadingForm(FlaskForm):
    """What all of them have: the marker it is taken for, and the button. doors.py holds the page's token."""

    class Meta:
        csrf = False

    for_marker = HiddenField()
    keep = SubmitField(lazy("Judge and keep"))

    def told(self) -> dict[str, Any]:
        """What was read; what is empty is left out."""
        names = [one.name for one in self if one.name not in ("keep", "csrf_token", "for_marker")]
        return {name: self[name].data for name in names if self[name].data not in (None, "")}


def _part(label: str) -> SelectField:
    return SelectField(label, validate_choice=False)


class FilmForm(ReadingForm):
    """Film build, by one gauge."""

    part = _part(lazy("Part"))
    where = SelectField(lazy("Where"), validate_choice=False)
    method = SelectField(lazy("Gauge"), validate_choice=False)
    film = FigureField(
        lazy("Film"), least=0.1, most=2000, unit="µm", description=lazy("The whole film; empty when it was not read")
    )

    def offer(self) -> None:
        """Fill what is to be chosen from."""
        self.where.choices = [SelectChoice(key, _(label)) for key, label in PLACES.items()]
        self.method.choices = [SelectChoice(key, _(label)) for key, label in FILM_METHODS.items()]


class ColourForm(ReadingForm):
    """L*, a*, b* of a part and of what lies beside it, at one angle or three."""

    part = _part(lazy("Part"))
    beside = _part(lazy("Compared with"))

    def told(self) -> dict[str, Any]:
        """The pairs that were read."""
        plain: dict[str, Any] = {name: self[name].data for name in ("part", "beside") if self[name].data}
        pairs = []
        for angle in ANGLES:
            sides = {side: [self[name].data for name in labs(angle, side)] for side in ("part", "beside")}
            if any(one is not None for side in sides.values() for one in side):
                pairs.append({"angle": angle, **sides})
        return {**plain, **({"colour": pairs} if pairs else {})}

    def validate(self, extra_validators: Any = None) -> bool:
        """An angle is read whole or not at all."""
        whole = bool(super().validate(extra_validators))
        for angle in ANGLES:
            fields = [self[name] for side in ("part", "beside") for name in labs(angle, side)]
            if any(one.data is not None for one in fields):
                for one in fields:
                    if one.data is None and not one.errors:
                        one.errors = [
                            _("At %(angle)s° '%(label)s' is missing; read all six.", angle=angle, label=one.label.text)
                        ]
                        whole = False
        if whole and not self.told().get("colour"):
            self[labs(45, "part")[0]].errors = [_("Nothing was read; write L*, a* and b* at 45° at least.")]
            whole = False
        return whole


def labs(angle: int, side: str) -> tuple[str, str, str]:
    """The names of the three fields of one side at one angle."""
    one, a, b = (f"{side}_{letter}_{angle}" for letter in ("l", "a", "b"))
    return one, a, b


for _angle in ANGLES:
    for _side in ("part", "beside"):
        for _name, _letter in zip(labs(_angle, _side), ("L*", "a*", "b*"), strict=True):
            _bounds = (0, 200) if _letter == "L*" else (-150, 150)
            setattr(ColourForm, _name, FigureField(_letter, least=_bounds[0], most=_bounds[1], places=2))


class GapForm(ReadingForm):
    """Gap and step at three points of a joint."""

    joint = _part(lazy("Joint"))

    def told(self) -> dict[str, Any]:
        """The points that were read."""
        found: dict[str, Any] = {"joint": self.joint.data} if self.joint.data else {}
        for what in ("gap", "flush"):
            points = [self[f"{what}_{point}"].data for point in POINTS]
            if any(one is not None for one in points):
                found[what] = points
        return found

    def validate(self, extra_validators: Any = None) -> bool:
        """Gap and step are each read at all three points or not at all."""
        whole = bool(super().validate(extra_validators))
        read = False
        for what in ("gap", "flush"):
            fields = [self[f"{what}_{point}"] for point in POINTS]
            read = read or any(one.data is not None or one.errors for one in fields)
            for one in fields:
                if one.data is None and not one.errors and any(other.data is not None for other in fields):
                    one.errors = [_("'%(label)s' is missing; a joint is read at three points.", label=one.label.text)]
                    whole = False
        if whole and not read:
            self.gap_start.errors = [_("Nothing was read; write the gap or the step at all three points.")]
            whole = False
        return whole


_POINT_LABELS = {
    "gap_start": lazy("Gap at the start"),
    "gap_middle": lazy("Gap in the middle"),
    "gap_end": lazy("Gap at the end"),
    "flush_start": lazy("Step at the start"),
    "flush_middle": lazy("Step in the middle"),
    "flush_end": lazy("Step at the end"),
}
for _name, _label in _POINT_LABELS.items():
    _least, _most = (0, 100) if _name.startswith("gap") else (-50, 50)
    setattr(GapForm, _name, FigureField(_label, least=_least, most=_most, unit="mm"))


class AdhesionForm(ReadingForm):
    """A cross-cut and tape pull, on a witness piece."""

    part = _part(lazy("Part it stands for"))
    scale = SelectField(lazy("Scale"), validate_choice=False)
    grade = SelectField(
        lazy("Grade"),
        validate_choice=False,
        validators=[DataRequired(lazy("'Grade' is missing; choose what the tape left."))],
    )
    film = FigureField(lazy("Film there"), least=0.1, most=2000, unit="µm", description=lazy("Where it is known"))

    def offer(self) -> None:
        """Fill what is to be chosen from."""
        self.scale.choices = [("ISO 2409", _("ISO 2409: 0 is best")), ("ASTM D3359", _("ASTM D3359: 5B is best"))]
        self.grade.choices = [("", ""), *((str(one), str(one)) for one in range(6))]

    def told(self) -> dict[str, Any]:
        """The grade as a number."""
        found = super().told()
        grade = found.pop("grade", None)
        return {**found, **({"grade": int(grade)} if grade in set("012345") else {})}


class DewForm(ReadingForm):
    """Air, surface and humidity before a coat goes on."""

    part = _part(lazy("Part"))
    air = FigureField(
        lazy("Air"), least=-20, most=60, unit="°C", asked=lazy("'Air' is missing; write the temperature in the booth.")
    )
    surface = FigureField(
        lazy("Surface"), least=-20, most=90, unit="°C", asked=lazy("'Surface' is missing; read it on the part itself.")
    )
    humidity = FigureField(
        lazy("Relative humidity"),
        least=1,
        most=100,
        unit="%",
        asked=lazy("'Relative humidity' is missing; write it in percent."),
    )


FORMS: dict[str, type[ReadingForm]] = {
    "film": FilmForm,
    "colour": ColourForm,
    "gap": GapForm,
    "adhesion": AdhesionForm,
    "dew": DewForm,
}
