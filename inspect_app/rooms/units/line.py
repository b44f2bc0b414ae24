"""Where a van is on the line: stations passed, and how its parts were painted."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flask_wtf import FlaskForm
from wtforms import DateTimeLocalField, SelectField, SubmitField
from wtforms.validators import DataRequired, InputRequired, Optional

from inspect_app.journal.queries import line as query
from inspect_app.journal.queries import people
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.forms import line as text_line
from inspect_app.trade.stations import stands_at
from inspect_app.words import gettext as _
from inspect_app.words import lazy


class MomentField(DateTimeLocalField):
    """A date with a time by the plant's clock."""

    def __init__(self, label: str, **more: Any):
        super().__init__(label, format=["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M:%S"], **more)

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read what was entered; what cannot be read stays in the field."""
        try:
            super().process_formdata(valuelist)
        except ValueError:
            said = _("'%(label)s' is not a date with a time; write it as 2026-03-14 10:15.", label=self.label.text)
            raise ValueError(said) from None

    def ms(self) -> int | None:
        """The moment in ms UTC, None when empty."""
        return None if self.data is None else round(self.data.replace(tzinfo=zone()).timestamp() * 1000)


class PassedForm(FlaskForm):
    """The station a van has left, and the walk that was done there. What is not offered is refused by the journal."""

    station = SelectField(
        lazy("Station"), validators=[DataRequired(lazy("'Station' is missing; choose one."))], validate_choice=False
    )
    walk = SelectField(lazy("Walk done there"), validate_choice=False)
    passed = SubmitField(lazy("Passed"))

    def __init__(self, *args: Any, unit: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        catalogue, gone = journal().catalogue(), {row["station"] for row in query.passed(reader(), unit["id"])}
        left = [(key, _(one.label)) for key, one in catalogue.stations.items() if key not in gone and not one.retired]
        self.station.choices = left
        walks = query.finished_walks(reader(), unit["id"])
        self.walk.choices = [("", _("none")), *((row["id"], _walk_words(row)) for row in walks)]


class PaintedForm(FlaskForm):
    """How a part was painted."""

    part = SelectField(
        lazy("Part"), validators=[DataRequired(lazy("'Part' is missing; choose one."))], validate_choice=False
    )
    booth = text_line(lazy("Booth"), lazy("'Booth' is missing; write its name or number."), most=80)
    sprayer = SelectField(lazy("Sprayer"), validate_choice=False)
    mix = text_line(lazy("Mix"), most=80, hint=lazy("Batch number on the mixing label"))
    flame_at = MomentField(
        lazy("Flame-treated"), validators=[Optional()], description=lazy("Empty for a part that is not flame-treated")
    )
    painted_at = MomentField(
        lazy("Painted"),
        validators=[InputRequired(lazy("'Painted' is missing; write when the part came out of the booth."))],
    )
    kept = SubmitField(lazy("Keep"))

    def __init__(self, *args: Any, unit: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        parts = sorted(
            (_(part.label), part.id) for part in journal().outline(unit["outline"]).parts if part.paint != "none"
        )
        self.part.choices = [(key, label) for label, key in parts]
        sprayers = [one for one in people.everyone(reader()) if "technician" in one.roles]
        self.sprayer.choices = [("", _("not known")), *((one.id, one.name) for one in sprayers)]


def context(unit: Any, **forms: Any) -> dict[str, Any]:
    """What the card shows of the line: stations with who passed the van on and when, where it stands, painted parts."""
    catalogue, passed = journal().catalogue(), {row["station"]: row for row in query.passed(reader(), unit["id"])}
    at = stands_at(catalogue, unit["station"])
    outline = journal().outline(unit["outline"])
    return {
        "stations": [
            (_(one.label), passed.get(key), key == at)
            for key, one in catalogue.stations.items()
            if not one.retired or key in passed
        ],
        "station_names": {key: _(one.label) for key, one in catalogue.stations.items()},
        "painted": query.painted(reader(), unit["id"]),
        "part_names": {part.id: _(part.label) for part in outline.parts},
        "passed_form": forms.get("passed") or PassedForm(unit=unit, formdata=None),
        "painted_form": forms.get("painted") or PaintedForm(unit=unit, formdata=None, data={"painted_at": _now()}),
    }


def _walk_words(row: Any) -> str:
    label = _(journal().catalogue().walks[row["purpose"]].label)
    return _("%(walk)s, finished by %(name)s", walk=label, name=row["name"])


def _now() -> datetime:
    return datetime.fromtimestamp(journal().clock() / 1000, zone()).replace(tzinfo=None)
