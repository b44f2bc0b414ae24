"""When a unit is due, as people write it: 2026-03-14, 14/03/2026 or 14.3.2026, with or without a time of day."""

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo

from inspect_app.words import gettext as _

_DAY = re.compile(
    r"(?:(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})"
    r"|(?P<day2>\d{1,2})(?P<mark>[/.])(?P<month2>\d{1,2})(?P=mark)(?P<year2>\d{4}))"
    r"(?:(?:T|\s+)(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2})(?:[.,]\d{1,6})?)?"
    r"\s*(?P<zone>Z|[+-]\d{2}:?\d{2})?)?",
    re.IGNORECASE | re.ASCII,
)
_YEARS = range(2000, 2100)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def due_ms(text: str, tz: tzinfo) -> int:
    """Return the moment as ms UTC; a day without a time means its last millisecond in `tz`.

    A day with strokes or dots is read day first. Raises ValueError with a sentence.
    """
    found = _DAY.fullmatch(text.strip())
    if found is None:
        raise ValueError(
            _(
                "'due date' is not a date (got %(got)s); write it as 2026-03-14 or 14/03/2026, with the time as 14:30"
                " if it matters",
                got=repr(text.strip())[:40],
            )
        )
    year, month, day = (int(found[name] or found[f"{name}2"]) for name in ("year", "month", "day"))
    hour, minute, second = (int(found[name] or 0) for name in ("hour", "minute", "second"))
    try:
        moment = datetime(year, month, day, hour, minute, second, tzinfo=_zone(found["zone"]) or tz)
    except ValueError:
        raise ValueError(
            _(
                "'due date' is a day or time that does not exist (got %(got)s); write it as 2026-03-14 or 14/03/2026,"
                " with the time as 14:30 if it matters",
                got=repr(text.strip())[:40],
            )
        ) from None
    if year not in _YEARS:
        raise ValueError(
            _(
                "'due date' lies in the year %(year)s; write it as 2026-03-14 or 14/03/2026, with the time as 14:30"
                " if it matters",
                year=year,
            )
        )
    if found["hour"] is None:
        moment += timedelta(days=1)  # on the wall clock: the day may have 23 or 25 hours
    return round((moment - _EPOCH) / timedelta(milliseconds=1)) - (found["hour"] is None)


def _zone(text: str | None) -> tzinfo | None:
    if text is None or text in "Zz":
        return UTC if text else None
    hours, minutes = int(text[1:3]), int(text[-2:])
    return timezone((1 if text[0] == "+" else -1) * timedelta(hours=hours, minutes=minutes))
