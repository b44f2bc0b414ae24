"""A unit in words: its stage, its due date, its time; and what a person does next with it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Any

STAGES = {
    "to_walk": "waits for its first walk",
    "walking": "is being walked",
    "in_rework": "in rework",
    "to_look_again": "waits for its second look",
    "to_sign": "ready to sign",
    "signed": "signed",
}
STATES = {
    "open": "open",
    "in_rework": "in rework",
    "reworked": "reworked",
    "cleared": "cleared",
    "accepted": "accepted",
    "conceded": "conceded",
    "no_flaw": "no flaw",
    "withdrawn": "withdrawn",
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
        return Step(href=f"/walk/{key}", words="Walk" if stage == "to_walk" else "Go on with the walk")
    if "inspector" in roles and (stage == "to_look_again" or (stage == "in_rework" and unit["reworked"])):
        return Step(href=f"/again/{key}", words="Look again")
    if stage == "to_sign" and {"inspector", "manager"} & set(roles):
        return Step(href=f"/sign-off/{key}", words="Sign off")
    if "technician" in roles and stage == "in_rework":
        return Step(href="/rework", words="Rework")
    return Step(href=f"/units/{key}", words="Card")


def due_words(due: int | None, now: int, zone: tzinfo) -> str:
    """Say when a unit is due, by the wall clock: "today 14:00", "Thu 16:00", "Mon 30 Nov", "late, Mon 23 Nov"."""
    if due is None:
        return "no due date"
    then, today = datetime.fromtimestamp(due / 1000, zone), datetime.fromtimestamp(now / 1000, zone)
    clock = "" if (then.hour, then.minute) == DAY_END else f" {then:%H:%M}"
    days = (then.date() - today.date()).days
    if due < now:
        return f"late, today{clock}" if days == 0 else f"late, {then:%a} {then.day} {then:%b}"
    if days < 2:
        return ("today" if days == 0 else "tomorrow") + clock
    return f"{then:%a}{clock}" if days < 7 else f"{then:%a} {then.day} {then:%b}"


def moment_words(at: int, now: int, zone: tzinfo) -> str:
    """Say when something was: "09:12" today, "Tue 09:12" this week, else "23 Nov", with its year when not this one."""
    then, today = datetime.fromtimestamp(at / 1000, zone), datetime.fromtimestamp(now / 1000, zone)
    days = (today.date() - then.date()).days
    if days == 0:
        return f"{then:%H:%M}"
    if 0 < days < 7:
        return f"{then:%a %H:%M}"
    return f"{then.day} {then:%b}" + (f" {then.year}" if then.year != today.year else "")


def counted(number: int, noun: str, plural: str = "") -> str:
    """ "1 ring", "3 rings"."""
    return f"{number} {noun if number == 1 else plural or noun + 's'}"


def listed(names: Collection[str]) -> str:
    """ "paint", "paint and polish", "body, paint and polish"."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def minutes_words(minutes: int) -> str:
    """ "25 min", "1 h", "6 h 30 min"."""
    hours, rest = divmod(minutes, 60)
    return " ".join(
        part for part in (f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else "") if part
    )
