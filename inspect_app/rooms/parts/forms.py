"""Forms of a part: taking it off, its label and stage, its clips, putting it back."""

from __future__ import annotations

from uuid import UUID

from flask_wtf import FlaskForm
from wtforms import (
    Field,
    HiddenField,
    RadioField,
    SelectField,
    SelectMultipleField,
    StringField,
    SubmitField,
    TextAreaField,
    ValidationError,
)
from wtforms.validators import DataRequired, InputRequired, Length, Optional

from inspect_app.rooms.units.forms import line, tidy, writable
from inspect_app.rooms.whole_field import WholeField
from inspect_app.words import gettext as _
from inspect_app.words import lazy

MOST_CLIPS = 500


class PartForm(FlaskForm):
    """A form on a page of several: doors.py holds the page's one token against each."""

    class Meta:
        csrf = False


class OffForm(PartForm):
    """Which parts come off, what they are made of, and where they hang."""

    parts = SelectMultipleField(
        lazy("Parts"), validate_choice=False, validators=[DataRequired(lazy("Tick the parts that come off."))]
    )
    material = SelectField(
        lazy("Made of"), validate_choice=False, description=lazy("It decides which stages they go through")
    )
    place = line(lazy("Hangs"), most=80, hint=lazy("Rack and hook, or trolley"))
    take = SubmitField(lazy("They are off the van"))


class LabelForm(PartForm):
    """What is read of the label of the part in hand."""

    since = HiddenField()
    label = HiddenField()
    six = StringField(
        lazy("Last six on the label"),
        filters=[tidy],
        validators=[Length(max=20, message=lazy("A label has six characters here; type those.")), writable],
        description=lazy("Read them from the part in your hand, not from this page"),
    )
    van = RadioField(lazy("Which van does it wear?"), validate_choice=False, validators=[Optional()])

    def validate_six(self, _field: Field) -> None:
        """A code that was read has to be one of a part's label."""
        if self.label.data and not code_of(self.label.data):
            self.label.data = ""
            raise ValidationError(_("This code is no label of a part; read the part's own, or type its six."))

    def read(self) -> dict[str, str]:
        """What was read, as an event tells it; a code goes before what was typed."""
        told = (
            {"label": code_of(self.label.data or "")}
            if self.label.data
            else {"six": self.six.data, "van": self.van.data}
        )
        return {name: value for name, value in told.items() if value}


class StageForm(LabelForm):
    """The stage that is next is done; for the paint also by whom, where and from which mix."""

    stage = HiddenField()

    booth = line(lazy("Booth"), most=80)
    mix = line(lazy("Mix"), most=80, hint=lazy("Batch number on the mixing label; pairs are checked by it"))
    sprayer = SelectField(lazy("Sprayer"), validate_choice=False)
    place = line(lazy("Hangs"), most=80, hint=lazy("Rack and hook, or trolley"))

    def how(self, *, painted: bool) -> dict[str, str]:
        """What else is told of the stage."""
        names = ("booth", "mix", "sprayer", "place") if painted else ("place",)
        return {name: self[name].data for name in names if self[name].data}


class AgainForm(LabelForm):
    """An earlier stage is done again; what came after it counts no longer."""

    stage = SelectField(lazy("Stage"), validate_choice=False)
    again = SubmitField(lazy("Done again"))


class RefitForm(LabelForm):
    """The part is on its van again."""

    reason = line(
        lazy("Why the mixes may differ"),
        most=500,
        hint=lazy("Only when this part and its pair are of two mixes; it is kept"),
    )


WHOLE = lazy("Write a whole number from 0 to %(most)s.", most=MOST_CLIPS)


def _count(label: str, asked: str) -> WholeField:
    return WholeField(label, most=MOST_CLIPS, wrong=WHOLE, asked=asked, validators=[InputRequired(asked)])


class ClipsForm(PartForm):
    """The clips of a part so far."""

    out = _count(lazy("Came off"), lazy("'Came off' is missing; write how many clips held the part."))
    broken = _count(lazy("Broke"), lazy("'Broke' is missing; write 0 when none did."))
    replaced = _count(lazy("New ones"), lazy("'New ones' is missing; write 0 when there are none."))
    keep = SubmitField(lazy("Keep the count"))


class BackForm(PartForm):
    """The part went back on as it came off."""

    reason = TextAreaField(
        lazy("Why"),
        validators=[
            DataRequired(lazy("A reason is missing; say in a few words why.")),
            Length(max=500, message=lazy("'Why' may have 500 characters at most.")),
            writable,
        ],
    )
    back = SubmitField(lazy("It is back on, untouched"))


def code_of(read: str) -> str:
    """The part that the code of a label names (a UUID as urn:uuid, RFC 9562), "" for anything else."""
    text = read.strip().lower().removeprefix("urn:uuid:")
    try:
        return str(UUID(text)) if len(text) == 36 else ""
    except ValueError:
        return ""
