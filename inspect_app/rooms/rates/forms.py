"""The period a rate is asked for."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from flask_wtf import FlaskForm
from wtforms import DateField, Field, SubmitField, ValidationError

from inspect_app.words import gettext as _
from inspect_app.words import lazy

FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y"]
YEARS = range(2000, 2100)


class DayField(DateField):
    """A day, with a sentence of ours when it is none."""

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read the day as people write it."""
        text = " ".join(valuelist).strip()
        try:
            super().process_formdata([text])
        except ValueError:
            raise ValueError(
                _("'%(label)s' is not a day (got '%(text)s'); write it as 2026-03-14.",
                  label=self.label.text, text=text[:20])
            ) from None  # fmt: skip
        if self.data is not None and self.data.year not in YEARS:
            raise ValueError(
                _("'%(label)s' lies in the year %(year)s; choose another day.",
                  label=self.label.text, year=self.data.year)
            )  # fmt: skip


class PeriodForm(FlaskForm):
    """From one day to another, both counted in."""

    class Meta:
        csrf = False  # a question, no write

    first = DayField(lazy("From"), format=FORMATS, name="from")
    last = DayField(lazy("To"), format=FORMATS, name="to")
    show = SubmitField(lazy("Show"))

    def validate_last(self, field: Field) -> None:
        """A period does not end before it begins."""
        if self.first.data and field.data and field.data < self.first.data:
            raise ValidationError(_("'To' lies before 'From'; change one of them."))

    def period(self, zone: ZoneInfo) -> tuple[int, int]:
        """Begin and end (not counted in) in ms UTC, by the plant's midnights."""
        return _midnight(self.first.data, zone), _midnight(self.last.data + timedelta(days=1), zone)


def _midnight(day: date, zone: ZoneInfo) -> int:
    return round(datetime.combine(day, time(), zone).timestamp() * 1000)


def usual(today: date, weeks: int = 4) -> dict[str, Any]:
    """The last so many weeks, today counted in."""
    return {"first": today - timedelta(days=7 * weeks - 1), "last": today}
