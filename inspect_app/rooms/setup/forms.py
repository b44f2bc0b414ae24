"""Forms about people, tablets and the plant."""

from __future__ import annotations

import re
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from flask_wtf import FlaskForm
from flask_wtf.file import FileField, FileRequired
from wtforms import Field, PasswordField, RadioField, SelectMultipleField, StringField, SubmitField, ValidationError
from wtforms.fields import SelectChoice
from wtforms.validators import DataRequired, EqualTo, Optional, Regexp

from inspect_app.rooms.tongue_forms import TongueFields
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.words import gettext as _
from inspect_app.words import lazy

ROLES = [
    SelectChoice("inspector", lazy("Inspector")),
    SelectChoice("technician", lazy("Technician")),
    SelectChoice("manager", lazy("Manager")),
]


class WhoForm(FlaskForm):
    """Name, roles and departments of a person."""

    name = line(lazy("Name"), lazy("'Name' is missing; it is what one picks when signing in."), most=80)
    roles = SelectMultipleField(lazy("Roles"), choices=ROLES, description=lazy("One person may hold several"))
    departments = SelectMultipleField(
        lazy("Departments"), description=lazy("For technicians: whose jobs they see and take")
    )

    def __init__(self, *args: Any, departments: list[tuple[str, str]], **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.departments.choices = [SelectChoice(key, _(label)) for key, label in departments]

    def validate_roles(self, field: Field) -> None:
        """Someone without a role could sign in and do nothing."""
        if not field.data:
            raise ValidationError(_("'Roles': choose one at least."))

    def validate_departments(self, field: Field) -> None:
        """A technician without a department sees no jobs; others need none."""
        if "technician" in (self.roles.data or []) and not field.data:
            raise ValidationError(_("'Departments': choose one at least for a technician, whose jobs they take."))

    def body(self) -> dict[str, Any]:
        """Roles and departments as the event has them; only technicians have departments."""
        technician = "technician" in (self.roles.data or [])
        return {"roles": self.roles.data, "departments": self.departments.data if technician else []}


def pin_field() -> PasswordField:
    """A new PIN."""
    return PasswordField(
        lazy("PIN"),
        description=lazy("4 to 8 digits"),
        validators=[
            DataRequired(lazy("'PIN' is missing; choose 4 to 8 digits.")),
            Regexp(r"^\d{4,8}$", message=lazy("'PIN' must be 4 to 8 digits.")),
        ],
    )


class NewPersonForm(WhoForm):
    """A person who joins."""

    pin = pin_field()
    save = SubmitField(lazy("Add this person"))


class PersonForm(WhoForm):
    """A person who is here."""

    save = SubmitField(lazy("Keep"))


class PinForm(FlaskForm):
    """A new PIN for someone who has forgotten theirs."""

    pin = pin_field()
    again = PasswordField(
        lazy("PIN again"), validators=[EqualTo("pin", lazy("The two PINs differ; type the same digits twice."))]
    )
    save = SubmitField(lazy("Set this PIN"))


class TabletForm(FlaskForm):
    """What a tablet is called."""

    name = line(lazy("Name"), most=40, hint=lazy("As on its sticker: tunnel left, booth 2"))
    save = SubmitField(lazy("Keep"))


class OutboxForm(FlaskForm):
    """A file that was saved on a tablet."""

    file = FileField(
        lazy("Outbox file"),
        validators=[FileRequired(lazy("'Outbox file' is missing; choose the file that was saved on the tablet."))],
    )
    save = SubmitField(lazy("Bring in"))


class VouchForm(FlaskForm):
    """A manager's word for entries that would not be taken by themselves."""

    reason = line(
        lazy("Reason"), lazy("'Reason' is missing; say in a few words why these entries are taken."), most=500
    )
    save = SubmitField(lazy("Take them on my word"))


class AdmitForm(FlaskForm):
    """A code for a tablet that is to come in."""

    name = line(lazy("Name"), most=40, hint=lazy("As on its sticker: tunnel left, booth 2. It can be given later"))
    save = SubmitField(lazy("Make a code"))


@cache
def timezones() -> frozenset[str]:
    """Names of all time zones that this computer knows: to find them a thousand files are looked at."""
    return frozenset(available_timezones() | {"UTC"})


def clip_hundredths(text: str) -> int | None:
    """The hundredths of a price as it was typed, None for what is none."""
    found = re.fullmatch(r"(\d{1,4})(?:[.,](\d{1,2}))?", text.strip(), re.ASCII)
    return int(found[1]) * 100 + int((found[2] or "0").ljust(2, "0")) if found else None


class PlantForm(TongueFields):
    """Name, time zone and paper of the plant, its language and its way of writing, what a clip costs."""

    plant = line(
        lazy("Plant"),
        lazy("'Plant' is missing; write the name of the works."),
        hint=lazy("New units are entered under this name"),
    )
    timezone = StringField(
        lazy("Time zone"),
        description=lazy("As Europe/Berlin: due dates, days and the times on sheets go by it"),
        validators=[DataRequired(lazy("'Time zone' is missing; UTC is one."))],
    )
    paper = RadioField(
        lazy("Paper"),
        choices=[SelectChoice("a4", "A4"), SelectChoice("letter", lazy("US Letter"))],
        description=lazy("What sheets signed from now on open as; the other paper is made too"),
    )
    admitting = RadioField(
        lazy("Tablets"),
        choices=[
            SelectChoice("sign_in", lazy("Come in with the first sign-in on them")),
            SelectChoice("code", lazy("Come in by a one-time code that a manager makes")),
        ],
        description=lazy("With codes, a right PIN alone does not open an unknown tablet. Those already here stay in"),
        validators=[Optional()],
    )
    clip_cost = line(
        lazy("A new clip costs"),
        most=10,
        hint=lazy("In the plant's money. 4.00 is common practice, no source; what was counted before keeps its price"),
    )
    hour_cost = line(
        lazy("An hour of work costs"),
        most=10,
        hint=lazy("In the plant's money, for plans of the work; empty: they count in minutes alone"),
    )
    booth_cost = line(
        lazy("A booth visit costs"), most=10, hint=lazy("Beside the hours: to load, purge and empty it once for a van")
    )
    asked_film = WholeField(lazy("Film readings"), most=99)
    asked_colour = WholeField(lazy("Colour readings"), most=99)
    asked_gaps = WholeField(lazy("Gap readings"), most=99)
    save = SubmitField(lazy("Keep"))

    def validate_hour_cost(self, field: Field) -> None:
        """A price from nothing to 9999.99, or nothing said."""
        self.validate_clip_cost(field)

    def validate_booth_cost(self, field: Field) -> None:
        """A price from nothing to 9999.99, or nothing said."""
        self.validate_clip_cost(field)

    def validate_clip_cost(self, field: Field) -> None:
        """A price from nothing to 9999.99, with a point or a comma."""
        if field.data and clip_hundredths(field.data) is None:
            raise ValidationError(
                _(
                    "'%(label)s' is not a price (got '%(data)s'); write it as 4.00.",
                    label=field.label.text,
                    data=field.data,
                )
            )

    def validate_timezone(self, field: Field) -> None:
        """Only zones this computer knows, and no path into its files."""
        if field.data not in timezones():
            raise ValidationError(
                _(
                    "'Time zone' is not one this server knows (got '%(data)s'); choose from the list.",
                    data=field.data[:40],
                )
            )
        ZoneInfo(field.data)


class ImportForm(FlaskForm):
    """A list of units."""

    file = FileField(
        lazy("List of units"),
        validators=[FileRequired(lazy("'List of units' is missing; choose the CSV file your office exports."))],
    )
    save = SubmitField(lazy("Import"))
