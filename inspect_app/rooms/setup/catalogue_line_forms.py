"""Forms of the line's stations, and of cautions with their safety timers."""

from __future__ import annotations

from typing import Any

from wtforms import SelectField
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.catalogue_forms import RowForm
from inspect_app.rooms.setup.fields import KeysField
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue_check import MOST_MINUTES
from inspect_app.trade.catalogue_rows import Caution, Station
from inspect_app.words import gettext as _
from inspect_app.words import lazy

FIRST = "-"  # no key of a row
PLAIN_SIGN = "ui-warn"  # a caution without a drawing of its own


class StationForm(RowForm):
    """A stretch of the line: its place, and the departments that work on the van there."""

    part = "stations"
    after = SelectField(
        lazy("Comes after"),
        description=lazy("By this order it is known where a van is, and what was found too early"),
    )
    departments = KeysField(
        lazy("Departments that work there"),
        description=lazy("A department under no station may have been at the van at any time"),
    )

    def settle(self, row: Any) -> None:
        """All other stations that are offered, and the departments that are or were chosen."""
        key = row.key if row else None
        others = [one for one in self.catalogue.stations.values() if one.key != key and not one.retired]
        self.after.choices = [(FIRST, _("nothing: it is the first")), *((one.key, _(one.label)) for one in others)]
        if self.after.data is None:
            self.after.data = self._before(key) if row else (others[-1].key if others else FIRST)
        chosen = row.departments if row else ()
        shown = [one for one in self.catalogue.departments.values() if not one.retired or one.key in chosen]
        self.departments.choices = [SelectChoice(one.key, _(one.label)) for one in shown]

    def _before(self, key: str | None) -> str:
        before = FIRST
        for one in self.catalogue.stations.values():
            if one.key == key:
                break
            before = before if one.retired else one.key
        return before

    def row(self) -> Station:
        """The station as it was typed; departments it had keep their order."""
        before = self.before.departments if self.before else ()
        chosen = self.departments.data
        kept = tuple(key for key in before if key in chosen)
        departments = (*kept, *(key for key in chosen if key not in kept))
        made: Station = self.made(Station, departments=departments)
        return made


class CautionForm(RowForm):
    """What can hurt, what to wear, what to wait for, and the timer of the wait."""

    part = "cautions"
    danger = line(lazy("What can hurt"), lazy("'What can hurt' is missing; say it in a sentence."), most=400, long=True)
    wear = line(lazy("Wear"), lazy("'Wear' is missing; say what protects."), most=300, long=True)
    wait = line(lazy("Wait"), lazy("'Wait' is missing; say what to wait for."), most=300, long=True)
    timer = line(lazy("Safety timer"), most=60, hint=lazy("What is waited for, as Booth clearance; empty for none"))
    timer_minutes = WholeField(
        lazy("Minutes proposed"),
        most=MOST_MINUTES,
        description=lazy("Your local code, the data sheet and licensed practice decide; what is posted comes first"),
    )
    timer_least = WholeField(
        lazy("Minutes at least"), most=MOST_MINUTES, description=lazy("Fewer cannot be started; empty for any")
    )

    pictogram = SelectField(lazy("Sign"))

    def empty(self) -> dict[str, Any]:
        """A new caution has the plain sign."""
        return {"pictogram": PLAIN_SIGN}

    def settle(self, row: Any) -> None:
        """The plain sign, and those that are drawn."""
        drawn = {PLAIN_SIGN: _("plain")}
        for one in self.catalogue.cautions.values():
            drawn.setdefault(one.pictogram, _(one.label))
        self.pictures = list(drawn.items())
        self.pictogram.choices = [SelectChoice(key, label) for key, label in self.pictures]

    def shown(self, row: Any) -> dict[str, Any]:
        """Without a timer its minutes are empty."""
        return {**vars(row), "timer_minutes": row.timer_minutes or None, "timer_least": row.timer_least or None}

    def row(self) -> Caution:
        """The caution as it was typed."""
        texts = {name: self._fields[name].data or "" for name in ("danger", "wear", "wait", "timer")}
        figures = {name: self._fields[name].data or 0 for name in ("timer_minutes", "timer_least")}
        made: Caution = self.made(Caution, pictogram=self.pictogram.data, **texts, **figures)
        return made
