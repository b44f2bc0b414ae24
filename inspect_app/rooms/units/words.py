"""A unit in words: its stage, its due date, its time; and what a person does next with it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Any

from inspect_app.words import N_, written
from inspect_app.words import gettext as _
from inspect_app.words.spans import minutes_words as minutes_words

STAGES = {
    "to_walk": N_("waits for its first walk"),
    "walking": N_("is being walked"),
    "in_rework": N_("in rework"),
    "to_look_again": N_("waits for its second look"),
    "to_sign": N_("ready to sign"),
    "signed": N_("signed"),
}
STATES = {
    "open": N_("open"),
    "in_rework": N_("in rework"),
    "reworked": N_("reworked"),
    "cleared": N_("cleared"),
    "accepted": N_("accepted"),
    "conceded": N_("conceded"),
    "no_flaw": N_("no flaw"),
    "withdrawn": N_("withdrawn"),
}
DAY_END = (23, 59)  # a due date without a time of day is kept as the last moment of its day


@dataclass(frozen=True, kw_only=True)
class Step:
    """Where a person goes on with a unit, in the words of a button."""

    href: str
    words: str


def next_step(unit: Any, roles: Collection[str]) -> Step:
    """What someone in these roles does next with a unit (a row of units); its card where nothing is theirs to do."""
    key, stage = unit["id"], unit["stage"]
    if "inspector" in roles and stage in ("to_walk", "walking"):
        return Step(href=f"/walk/{key}", words=_("Walk") if stage == "to_walk" else _("Go on with the walk"))
    if "inspector" in roles and (stage == "to_look_again" or (stage == "in_rework" and unit["reworked"])):
        return Step(href=f"/again/{key}", words=_("Look again"))
    if stage == "to_sign" and {"inspector", "manager"} & set(roles):
        return Step(href=f"/sign-off/{key}", words=_("Sign off"))
    if "technician" in roles and stage == "in_rework":
        return Step(href="/rework", words=_("Rework"))
    return Step(href=f"/units/{key}", words=_("Card"))


def due_words(due: int | None, now: int, zone: tzinfo) -> str:
    """Say when a unit is due, by the wall clock: "today 14:00", "Thu 16:00", "Mon 30 Nov", "late, Mon 23 Nov"."""
    if due is None:
        return _("no due date")
    then, today = datetime.fromtimestamp(due / 1000, zone), datetime.fromtimestamp(now / 1000, zone)
    days = (then.date() - today.date()).days
    if days >= 7:
        return written.weekday_and_day(then)
    if due < now and days != 0:
        return _("late, %(day)s", day=written.weekday_and_day(then))
    if (then.hour, then.minute) == DAY_END:
        return _("late, today") if due < now else (_("today"), _("tomorrow"), written.weekday(then))[min(days, 2)]
    clock = written.clock(then)
    if days == 0:
        return _("late, today %(clock)s", clock=clock) if due < now else _("today %(clock)s", clock=clock)
    return _("tomorrow %(clock)s", clock=clock) if days == 1 else f"{written.weekday(then)} {clock}"


def when_words(at: int, now: int, zone: tzinfo) -> str:
    """Say when something was, in a sentence: "at 09:12" today, else as `moment_words`."""
    said = moment_words(at, now, zone)
    today = (datetime.fromtimestamp(ms / 1000, zone).date() for ms in (at, now))
    return _("at %(clock)s", clock=said) if len(set(today)) == 1 else said


def moment_words(at: int, now: int, zone: tzinfo) -> str:
    """Say when something is: "09:12" today, "Tue 09:12" within a week, else "23 Nov", with another year's number."""
    then, today = datetime.fromtimestamp(at / 1000, zone), datetime.fromtimestamp(now / 1000, zone)
    days = (today.date() - then.date()).days
    if days == 0:
        return written.clock(then)
    if -7 < days < 7:
        return f"{written.weekday(then)} {written.clock(then)}"
    return written.day_and_month(then, year=then.year != today.year)
