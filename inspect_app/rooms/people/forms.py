"""Forms about people."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import BooleanField, PasswordField, StringField, SubmitField
from wtforms.validators import DataRequired, EqualTo, InputRequired, Length, Regexp


class FirstManagerForm(FlaskForm):
    """Name and PIN of the first manager."""

    name = StringField(
        "Your name",
        filters=[lambda text: " ".join(text.split()) if text else text],
        validators=[
            DataRequired("'Your name' is missing; it is what you pick when you sign in."),
            Length(max=80, message="'Your name' may have 80 letters at most."),
        ],
    )
    pin = PasswordField(
        "PIN",
        description="4 to 8 digits",
        validators=[
            InputRequired("'PIN' is missing; choose 4 to 8 digits."),
            Regexp(r"^\d{4,8}$", message="'PIN' must be 4 to 8 digits."),
        ],
    )
    again = PasswordField("PIN again", validators=[EqualTo("pin", "The two PINs differ; type the same digits twice.")])
    inspects = BooleanField("I also inspect")
    save = SubmitField("Make me the first manager")
