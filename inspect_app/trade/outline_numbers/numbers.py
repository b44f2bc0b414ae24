"""The numbers of a van and what they may be: lengths in whole mm, as they stand in a maker's data sheet.

The ranges are those of the panel vans that coach-builders buy, with some room on either side: common practice, no
source.
"""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.words import N_
from inspect_app.words import gettext as _

ROOFS = ("low", "mid", "high")
BODIES = ("panel", "wide")
SLIDING_DOORS = ("left", "right", "both")
LENGTH = (4800, 7500)
WHEELBASE = (3100, 4500)
WIDTH = (1850, 2300)
HEIGHT = {"low": (1950, 2450), "mid": (2300, 2750), "high": (2500, 3100)}
OVERHANGS = (1750, 3000)  # what the nose and the tail together reach beyond the axles
CHOICES = {"roof": ROOFS, "body": BODIES, "sliding_door": SLIDING_DOORS}
NAMES = {
    "length_mm": N_("Length"),
    "height_mm": N_("Height"),
    "wheelbase_mm": N_("Wheelbase"),
    "width_mm": N_("Width"),
    "roof": N_("Roof"),
    "body": N_("Body"),
    "sliding_door": N_("Sliding door"),
}


class NumbersError(ValueError):
    """Numbers that make no van of this family; `faults` has one sentence for each field that is wrong."""

    def __init__(self, faults: dict[str, str]):
        super().__init__(next(iter(faults.values())))
        self.faults = faults


@dataclass(frozen=True, kw_only=True)
class Numbers:
    """What a data sheet says of a van: lengths in mm, the height without fan and aerial, the width without mirrors.

    `roof` is one of ROOFS, `body` one of BODIES, `sliding_door` one of SLIDING_DOORS: which sides have one.
    """

    length_mm: int
    height_mm: int
    wheelbase_mm: int
    width_mm: int
    roof: str
    body: str
    sliding_door: str

    @property
    def id(self) -> str:
        """The id of its outline: the numbers in a row, at most 40 characters."""
        sizes = f"{self.length_mm}_{self.wheelbase_mm}_{self.height_mm}_{self.width_mm}"
        return f"van_{sizes}_{self.roof}_{self.body}_{self.sliding_door}"


OURS = Numbers(
    length_mm=5950,
    height_mm=2700,
    wheelbase_mm=3950,
    width_mm=2060,
    roof="high",
    body="panel",
    sliding_door="both",
)


def check(numbers: Numbers) -> None:
    """Raise NumbersError unless a van of this family can have these numbers."""
    faults = {name: _no_choice(name, getattr(numbers, name)) for name in CHOICES}
    height = HEIGHT.get(numbers.roof, (HEIGHT["low"][0], HEIGHT["high"][1]))
    ranges = {"length_mm": LENGTH, "wheelbase_mm": WHEELBASE, "height_mm": height, "width_mm": WIDTH}
    faults |= {name: _out_of_range(name, getattr(numbers, name), *ends) for name, ends in ranges.items()}
    if not faults["length_mm"] and not faults["wheelbase_mm"]:
        faults["wheelbase_mm"] = _overhangs(numbers)
    found = {name: sentence for name, sentence in faults.items() if sentence}
    if found:
        raise NumbersError(found)


def _no_choice(name: str, value: str) -> str:
    if value in CHOICES[name]:
        return ""
    told = {"name": _(NAMES[name]), "value": value, "choices": ", ".join(CHOICES[name])}
    return _("'%(name)s' is '%(value)s'; it must be one of %(choices)s.", **told)


def _out_of_range(name: str, value: int, low: int, high: int) -> str:
    if low <= value <= high:
        return ""
    told = {"name": _(NAMES[name]), "value": value, "low": low, "high": high}
    if name == "height_mm":
        return _("'%(name)s' is %(value)s mm; with this roof it must be from %(low)s to %(high)s mm.", **told)
    return _("'%(name)s' is %(value)s mm; it must be from %(low)s to %(high)s mm.", **told)


def _overhangs(numbers: Numbers) -> str:
    (low, high), wheelbase, length = OVERHANGS, numbers.wheelbase_mm, numbers.length_mm
    if length - wheelbase < low:
        return _(
            "'Wheelbase' is %(wheelbase)s mm, too long for a van of %(length)s mm; it can be %(most)s mm at most, "
            "to leave room for nose and tail.",
            wheelbase=wheelbase, length=length, most=length - low,
        )  # fmt: skip
    if length - wheelbase > high:
        return _(
            "'Wheelbase' is %(wheelbase)s mm, too short for a van of %(length)s mm; it must be %(least)s mm at least, "
            "or the tail would hang over too far.",
            wheelbase=wheelbase, length=length, least=length - high,
        )  # fmt: skip
    return ""
