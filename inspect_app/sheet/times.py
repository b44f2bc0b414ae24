"""Times as the shop's clock showed them, in the one form that cannot be read two ways (ISO 8601 order), or as the
plant writes them.
"""

from datetime import UTC, datetime, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from inspect_app.sheet.data import SheetError
from inspect_app.words import gettext as _
from inspect_app.words import written


def zone(name: str) -> tzinfo:
    """Return the time zone of that name; raises SheetError when this machine does not know it."""
    if name.upper() == "UTC":
        return UTC
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        told = _(
            "The time zone %(name)s is not known here; set the plant's time zone, as Europe/Vienna.", name=repr(name)
        )
        raise SheetError(told) from error


class Clock:
    """Writes milliseconds UTC as local time."""

    def __init__(self, name: str) -> None:
        """Take the name of a time zone; raises SheetError when it is unknown."""
        self.zone = zone(name)

    def _local(self, ms: int) -> datetime:
        return datetime.fromtimestamp(ms / 1000, tz=self.zone)

    def at(self, ms: int | None) -> str:
        """Return day and minute as 2026-11-25 14:05, or as the plant writes them; nothing for None."""
        return "" if ms is None else written.moment(self._local(ms))

    def day(self, ms: int | None) -> str:
        """Return the day alone."""
        return "" if ms is None else written.day(self._local(ms))

    def days(self, first: int, last: int) -> str:
        """Return the day, or the first and the last."""
        start, end = self.day(first), self.day(last)
        return start if start == end else f"{start} – {end}"

    def hours(self, first: int, last: int) -> str:
        """Return from and to as 09:00–09:34; with the days where they differ."""
        if self.day(first) != self.day(last):
            return f"{self.at(first)} – {self.at(last)}"
        start, end = written.clock(self._local(first)), written.clock(self._local(last))
        return start if start == end else f"{start}–{end}"


def by(person: str, when: str) -> str:
    """Join a name and a time as 'Żaneta · 2026-11-25 14:05', leaving out what is not known."""
    return " · ".join(part for part in (person, when) if part)
