"""Forms about one unit."""

from __future__ import annotations

import re
from typing import Any
from zoneinfo import ZoneInfo

from flask_wtf import FlaskForm
from wtforms import Field, HiddenField, RadioField, StringField, SubmitField, TextAreaField, ValidationError
from wtforms.fields import SelectChoice
from wtforms.validators import DataRequired, Length, Regexp

from inspect_app.trade import vin
from inspect_app.trade.due_date import due_ms
from inspect_app.words import gettext as _
from inspect_app.words import lazy

# Control characters (C0 and C1 of ISO/IEC 6429), and what turns about the letters after it (directions, UAX #9).
_UNWRITTEN = re.compile("[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def writable(form: FlaskForm, field: Field) -> None:
    """Refuse what no keyboard writes and no paper shows: it comes in by pasting, and makes two names look alike."""
    if _UNWRITTEN.search(field.data or ""):
        raise ValidationError(
            _(
                "'%(label)s' holds a character that cannot be written or printed; write it again by hand.",
                label=field.label.text,
            )
        )


def tidy(text: str | None) -> str | None:
    """One line without double spaces."""
    return " ".join(text.split()) if text else text


def line(label: str, asked: str = "", *, most: int = 120, hint: str = "", long: bool = False) -> StringField:
    """A text of one line; `asked` is the sentence when it is missing, "" lets it be missing.

    A `long` one is shown over two lines, so that it can be read whole; it is kept as one all the same.
    """
    checks: list[Any] = [DataRequired(asked)] if asked else []
    checks.append(
        Length(max=most, message=lazy("'%(label)s' may have %(most)s characters at most.", label=label, most=most))
    )
    shown, rows = (TextAreaField, {"rows": 2}) if long else (StringField, None)
    return shown(label, filters=[tidy], validators=[*checks, writable], description=hint, render_kw=rows)


class PlaceForm(FlaskForm):
    """Where the van stands and where its keys are."""

    place = line(lazy("Stands"), most=80, hint=lazy("Bay, booth or row"))
    keys = line(lazy("Keys"), most=80, hint=lazy("Board and hook, or who has them"))
    save = SubmitField(lazy("Keep"))


class LooksForm(FlaskForm):
    """What a unit is, apart from its numbers."""

    make = line(lazy("Make"), lazy("'Make' is missing; write the maker of the chassis as on the order."))
    model = line(lazy("Model"), lazy("'Model' is missing; write it as on the order."))
    colour = line(lazy("Colour"), lazy("'Colour' is missing; write the name the paint shop uses."))
    finish = RadioField(
        lazy("Finish"),
        choices=[SelectChoice("solid", lazy("Solid")), SelectChoice("metallic", lazy("Metallic"))],
        validators=[DataRequired(lazy("'Finish' is missing; choose solid or metallic."))],
    )
    due = line(
        lazy("Due"), hint=lazy("2026-03-14 or 14/03/2026, with the time as 14:30 if it matters; empty when it has none")
    )

    def __init__(self, *args: Any, zone: ZoneInfo, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.zone = zone

    def validate_due(self, field: Field) -> None:
        """Read the due date as people write it."""
        try:
            self.due_at()
        except ValueError as fault:
            raise ValidationError(f"{str(fault)[:1].upper()}{str(fault)[1:]}.") from None

    def due_at(self) -> int | None:
        """The due date in ms UTC, None when empty."""
        return due_ms(self.due.data, self.zone) if self.due.data else None


class CorrectForm(LooksForm):
    """What was typed in wrongly about a unit."""

    save = SubmitField(lazy("Correct this unit"))


class UnitForm(LooksForm):
    """A unit that arrives."""

    chassis = StringField(
        lazy("Chassis number"), description=lazy("17 letters and digits, as stamped on the plate; spaces do not matter")
    )
    build_number = line(lazy("Build number"), lazy("'Build number' is missing; write it as on the order."), most=80)
    plant = line(lazy("Plant"), lazy("'Plant' is missing; write the name of the works."))
    options = TextAreaField(lazy("Options"), description=lazy("One on a line: roof fan, running board left"))
    save = SubmitField(lazy("Add this unit"))

    def validate_chassis(self, field: Field) -> None:
        """Hold the number against its rules, in the words of the trade's own module."""
        try:
            vin.normalise(field.data or "")
        except vin.VinError as fault:
            raise ValidationError(_("'Chassis number': %(fault)s.", fault=fault)) from None

    def validate_options(self, field: Field) -> None:
        """Each option is a short line."""
        if any(len(option) > 120 for option in self.option_lines()):
            raise ValidationError(_("'Options': one of them is longer than 120 characters; write one on a line."))

    def option_lines(self) -> list[str]:
        """The options, without empty lines and doubles."""
        return list(dict.fromkeys(filter(None, (tidy(one) for one in (self.options.data or "").splitlines()))))


class AnswerForm(FlaskForm):
    """The answer to an open question; several stand on one page, so each has the question's id before its names."""

    class Meta:
        csrf = False  # doors.py holds the page's one token against every form

    answer = TextAreaField(
        lazy("Answer"),
        filters=[lambda text: text.strip() if text else text],
        validators=[
            DataRequired(lazy("'Answer' is missing; say what the asker has to know.")),
            Length(max=500, message=lazy("'Answer' may have 500 characters at most.")),
        ],
    )
    send = SubmitField(lazy("Answer"))


class DecideForm(FlaskForm):
    """Whether a mark is no flaw, as a technician proposes."""

    agreed = HiddenField(validators=[Regexp("^(yes|no)$", message=lazy("Choose one of the two buttons."))])
