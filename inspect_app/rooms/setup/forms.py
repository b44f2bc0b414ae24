"""Forms about people, tablets and the plant."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from flask_wtf import FlaskForm
from flask_wtf.file import FileField, FileRequired
from wtforms import Field, PasswordField, RadioField, SelectMultipleField, StringField, SubmitField, ValidationError
from wtforms.fields import SelectChoice
from wtforms.validators import DataRequired, EqualTo, Optional, Regexp

from inspect_app.rooms.units.forms import line

ROLES = [SelectChoice(key, key.title()) for key in ("inspector", "technician", "manager")]


class WhoForm(FlaskForm):
    """Name, roles and departments of a person."""

    name = line("Name", "'Name' is missing; it is what one picks when signing in.", most=80)
    roles = SelectMultipleField("Roles", choices=ROLES, description="One person may hold several")
    departments = SelectMultipleField("Departments", description="For technicians: whose jobs they see and take")

    def __init__(self, *args: Any, departments: list[tuple[str, str]], **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.departments.choices = [SelectChoice(key, label) for key, label in departments]

    def validate_roles(self, field: Field) -> None:
        """Someone without a role could sign in and do nothing."""
        if not field.data:
            raise ValidationError("'Roles': choose one at least.")

    def validate_departments(self, field: Field) -> None:
        """A technician without a department sees no jobs; others need none."""
        if "technician" in (self.roles.data or []) and not field.data:
            raise ValidationError("'Departments': choose one at least for a technician, whose jobs they take.")

    def body(self) -> dict[str, Any]:
        """Roles and departments as the event has them; only technicians have departments."""
        technician = "technician" in (self.roles.data or [])
        return {"roles": self.roles.data, "departments": self.departments.data if technician else []}


def pin_field() -> PasswordField:
    """A new PIN."""
    return PasswordField(
        "PIN",
        description="4 to 8 digits",
        validators=[
            DataRequired("'PIN' is missing; choose 4 to 8 digits."),
            Regexp(r"^\d{4,8}$", message="'PIN' must be 4 to 8 digits."),
        ],
    )


class NewPersonForm(WhoForm):
    """A person who joins."""

    pin = pin_field()
    save = SubmitField("Add this person")


class PersonForm(WhoForm):
    """A person who is here."""

    save = SubmitField("Keep")


class PinForm(FlaskForm):
    """A new PIN for someone who has forgotten theirs."""

    pin = pin_field()
    again = PasswordField("PIN again", validators=[EqualTo("pin", "The two PINs differ; type the same digits twice.")])
    save = SubmitField("Set this PIN")


class TabletForm(FlaskForm):
    """What a tablet is called."""

    name = line("Name", most=40, hint="As on its sticker: tunnel left, booth 2")
    save = SubmitField("Keep")


class OutboxForm(FlaskForm):
    """A file that was saved on a tablet."""

    file = FileField(
        "Outbox file",
        validators=[FileRequired("'Outbox file' is missing; choose the file that was saved on the tablet.")],
    )
    save = SubmitField("Bring in")


class VouchForm(FlaskForm):
    """A manager's word for entries that would not be taken by themselves."""

    reason = line("Reason", "'Reason' is missing; say in a few words why these entries are taken.", most=500)
    save = SubmitField("Take them on my word")


class AdmitForm(FlaskForm):
    """A code for a tablet that is to come in."""

    name = line("Name", most=40, hint="As on its sticker: tunnel left, booth 2. It can be given later")
    save = SubmitField("Make a code")


class PlantForm(FlaskForm):
    """Name, time zone and paper of the plant."""

    plant = line(
        "Plant", "'Plant' is missing; write the name of the works.", hint="New units are entered under this name"
    )
    timezone = StringField(
        "Time zone",
        description="As Europe/Berlin: due dates, days and the times on sheets go by it",
        validators=[DataRequired("'Time zone' is missing; UTC is one.")],
    )
    paper = RadioField(
        "Paper",
        choices=[SelectChoice("a4", "A4"), SelectChoice("letter", "US Letter")],
        description="What sheets signed from now on open as; the other paper is made too",
    )
    admitting = RadioField(
        "Tablets",
        choices=[
            SelectChoice("sign_in", "Come in with the first sign-in on them"),
            SelectChoice("code", "Come in by a one-time code that a manager makes"),
        ],
        description="With codes, a right PIN alone does not open an unknown tablet. Those already here stay in",
        validators=[Optional()],
    )
    save = SubmitField("Keep")

    def validate_timezone(self, field: Field) -> None:
        """Only zones this computer knows, and no path into its files."""
        known = available_timezones() | {"UTC"}
        if field.data not in known:
            raise ValidationError(
                f"'Time zone' is not one this server knows (got '{field.data[:40]}'); choose from the list."
            )
        ZoneInfo(field.data)


class ImportForm(FlaskForm):
    """A list of units."""

    file = FileField(
        "List of units",
        validators=[FileRequired("'List of units' is missing; choose the CSV file your office exports.")],
    )
    save = SubmitField("Import")
