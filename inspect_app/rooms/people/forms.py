"""Forms about people."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import BooleanField, PasswordField, StringField, SubmitField
from wtforms.validators import DataRequired, EqualTo, InputRequired, Length, Regexp

from inspect_app.rooms.units.forms import tidy, writable
from inspect_app.words import lazy


class FirstManagerForm(FlaskForm):
    """Name and PIN of the first manager."""

    name = StringField(
        lazy("Your name"),
        filters=[tidy],
        validators=[
            DataRequired(lazy("'Your name' is missing; it is what you pick when you sign in.")),
            Length(max=80, message=lazy("'Your name' may have 80 letters at most.")),
            writable,
        ],
    )
    pin = PasswordField(
        lazy("PIN"),
        description=lazy("4 to 8 digits"),
        validators=[
            InputRequired(lazy("'PIN' is missing; choose 4 to 8 digits.")),
            Regexp(r"^\d{4,8}$", message=lazy("'PIN' must be 4 to 8 digits.")),
        ],
    )
    again = PasswordField(
        lazy("PIN again"), validators=[EqualTo("pin", lazy("The two PINs differ; type the same digits twice."))]
    )
    inspects = BooleanField(lazy("I also inspect"))
    save = SubmitField(lazy("Make me the first manager"))
