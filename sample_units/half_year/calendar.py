"""The half-year's calendar: which date a working day of the plan is, and what time of which day it is now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from sample_units.half_year.key import WEEKS


@dataclass(frozen=True, kw_only=True)
class Calendar:
    """Working days from the Monday of week 1. `now`: ms UTC; `zone`: the plant's. The running week is the 27th."""

    now: int
    zone: tzinfo

    @property
    def monday(self) -> date:
        """The Monday of week 1."""
        today = datetime.fromtimestamp(self.now / 1000, self.zone).date()
        return today - timedelta(days=today.weekday(), weeks=WEEKS)

    def date(self, day: int) -> date:
        """The date of a working day, which may lie before week 1."""
        weeks, weekday = divmod(day, 5)
        return self.monday + timedelta(weeks=weeks, days=weekday)

    def at(self, day: int, clock: str | time, minutes: float = 0) -> int:
        """A time on a working day, ms UTC, and so many minutes later."""
        hour = time.fromisoformat(clock) if isinstance(clock, str) else clock
        begun = datetime.combine(self.date(day), hour, self.zone)
        return round((begun.timestamp() + minutes * 60) * 1000)

    def start(self, week: int) -> int:
        """The first moment of a week, ms UTC."""
        return self.at((week - 1) * 5, "00:00")
