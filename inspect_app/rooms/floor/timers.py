"""The safety timers in words, on the floor and at their van, until a named person has looked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any, Protocol

from inspect_app.rooms.units.words import minutes_words, moment_words, when_words
from inspect_app.trade.catalogue import Catalogue
from inspect_app.words import gettext as _

MINUTE_MS = 60_000


class Moment(Protocol):
    """Now, and the zone of the clock on the wall."""

    @property
    def now(self) -> int:
        """Server time in ms."""

    @property
    def zone(self) -> tzinfo:
        """The plant's."""


@dataclass(frozen=True, kw_only=True)
class At:
    """A moment by itself."""

    now: int
    zone: tzinfo


@dataclass(frozen=True, kw_only=True)
class Timer:
    """One timer in words."""

    pictogram: str
    title: str
    last_six: str
    started: str
    left: str
    note: str
    over: bool


def timers(rows: Sequence[Any], catalogue: Catalogue, view: Moment) -> list[Timer]:
    """Say each timer that runs."""
    return [_said(row, catalogue, view) for row in rows]


def _said(row: Any, catalogue: Catalogue, view: Moment) -> Timer:
    caution = catalogue.cautions.get(row["caution"])
    name = row["caution"] if caution is None else _(caution.timer or caution.label)
    over, until = row["until"] <= view.now, moment_words(row["until"], view.now, view.zone)
    started = when_words(row["started_at"], view.now, view.zone)
    left = -(-(row["until"] - view.now) // MINUTE_MS)
    return Timer(
        pictogram=caution.pictogram if caution is not None else "ui-clock",
        title=_("%(some)s, %(next)s", some=name, next=row["place"]),
        last_six=row["last_six"],
        started=_("started by %(who)s, %(when)s", who=row["name"] or _("somebody"), when=started),
        left=_("Time is over") if over else minutes_words(left),
        note=_("look yourself, then end it") if over else _("not before %(when)s", when=until),
        over=over,
    )
