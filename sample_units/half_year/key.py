"""The answer key of the half-year: how often each kind falls, and the five patterns hidden in it.

All numbers are invented. Rates are flaws found on the first walk of a van, as means of Poisson counts; weeks are those
of the first walk, 1 to 26, each from a Monday; the running week comes after them. docs/half_year.md says the same in
words, and tests/sample_units/test_half_year_key.py holds that it does.
"""

from __future__ import annotations

from dataclasses import dataclass

WEEKS = 26
DAYS = WEEKS * 5  # working days of the whole weeks
AHEAD = 8  # and so many more for which vans are ordered: the running week, and what has arrived for the next

# Flaws a van, of each kind, where no pattern touches them.
MEANS = {
    "nib": 6.0, "fibre": 1.6, "orange_peel": 1.4, "run": 1.2, "swirl": 2.4, "scratch": 2.8, "chip": 2.2, "dent": 1.0,
    "overspray": 1.0, "residue": 1.2, "stain": 0.8, "dirt": 1.0, "seal_smear": 0.7, "thin_cover": 0.3, "mottling": 0.12,
    "gap": 0.4, "flush": 0.5, "clip": 0.5, "fastener": 0.4, "seal_void": 0.12,
}  # fmt: skip

BOOTHS = {"Booth 1": 0.4, "Booth 2": 0.35, "Booth 3": 0.25}  # the share of vans painted in each
BOOTH, BOOTH_AFTER, BOOTH_TIMES = "Booth 2", 18, 1.9
"""Nibs on what was painted in this booth are so many times as frequent after this week (of the painting)."""

NEW, NEW_FROM, NEW_UNTIL, NEW_FINDS = "tove", 9, 14, 0.55
"""This inspector starts in the first of these weeks, and to the last of them finds this share of what others find."""
LATER, LATER_ESCAPES, ESCAPES = 0.12, 0.2, 0.035
"""Of what was missed, this share comes up on the look again; this share of those vans has an escape, of others this."""

MONDAY_KINDS, MONDAY_TIMES = ("swirl", "residue", "dirt"), 1.7
"""These kinds are so many times as frequent on vans whose first walk is on a Monday: polished late on Friday."""

MOVED, MOVED_FROM_WEEK, MOVED_BEFORE, MOVED_AFTER = "chip", 14, "trim", "fit"
"""From the Monday of this week the mouldings are clipped on by another department; the chips go with the work."""

DRIFTS, DRIFT_JOINT, DRIFT_ZONE = "Brennach", "left.joint.sliding_door_to_rear_panel", "left.sliding_door_lower"
DRIFT_START, DRIFT_WEEKLY, DRIFT_SPREAD = 7.0, 0.7, 2.0
"""How far this make's sliding door gap is off in week 1, how much further each week, and its spread; tenths of a mm."""
DRIFT_NOTED = 8
"""It is marked from this much on; tenths of a mm."""
DRIFT_OTHERS = 0.1
"""On other makes the same gap is marked on this share of vans, about a millimetre off in any week."""

RETURNED = 0.05  # of what is reworked is sent back by the second look, once
INCOMING, INCOMING_MEAN = 0.08, 2.5  # share of vans that are walked as they come in, and what is found on each
CONCEDED = 0.1  # share of vans for which one concession is asked
REFUSED = 0.2  # share of those that are refused
REOPENED = 0.45  # share of escapes for which the van is opened again
PICTURED, PICTURED_LATE, PICTURED_AFTER = 0.005, 0.025, 21  # share of flaws that are photographed, more after this week
JUDGED = 0.55  # share of flaws whose department of origin a person names; the rest stay as the catalogue assumes


@dataclass(frozen=True, kw_only=True)
class Van:
    """What the patterns look at. `walked`, `painted`: working days from the Monday of week 1; `inspector`: a key."""

    make: str
    booth: str
    painted: int
    walked: int
    inspector: str


def week(day: int) -> int:
    """Return the week of a working day: days 0 to 4 are week 1."""
    return day // 5 + 1


def mean(kind: str, van: Van) -> float:
    """Return how many flaws of a kind such a van has, before it is asked whether its inspector finds them."""
    times = 1.0
    if kind == "nib" and van.booth == BOOTH and week(van.painted) > BOOTH_AFTER:
        times *= BOOTH_TIMES
    if kind in MONDAY_KINDS and van.walked % 5 == 0:
        times *= MONDAY_TIMES
    return MEANS[kind] * times


def finds(van: Van) -> float:
    """Return the share of a van's flaws that its inspector finds."""
    return NEW_FINDS if van.inspector == NEW and NEW_FROM <= week(van.walked) <= NEW_UNTIL else 1.0


def origin(kind: str, walked: int, assumed: str) -> str:
    """Return the department that makes flaws of a kind when a van is walked on this day."""
    if kind != MOVED:
        return assumed
    return MOVED_BEFORE if week(walked) < MOVED_FROM_WEEK else MOVED_AFTER


def drift(walked: int) -> float:
    """Return how far the drifting gap is off in the middle, in tenths of a millimetre."""
    return DRIFT_START + DRIFT_WEEKLY * (week(walked) - 1)
