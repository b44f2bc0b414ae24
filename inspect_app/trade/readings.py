"""Readings judged: film, colour, gap and flush, dew point, adhesion, each with its figure and what it is held against.

A reading within says so with the number; one that cannot decide says what is missing. Colour is measured as a pair, the
part against its neighbour, by the formula of 2000 (ISO/CIE 11664-6), which coloraide computes.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import isfinite, log
from typing import Literal

from pydantic import TypeAdapter

from inspect_app.trade.budget import FILM_METHODS, FilmReading, check_reading
from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.limits import gap_verdict
from inspect_app.trade.rule_rows import Readings
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure, tenths

Outcome = Literal["within", "look_again", "over", "unmeasured"]
Lab = tuple[float, float, float]
MAGNUS = (17.62, 243.12)  # over water, -45 to 60 °C: Sonntag 1990, as in the WMO's guide to instruments (CIMO)


@dataclass(frozen=True, kw_only=True)
class Judged:
    """One figure held against its bound: what was read, the outcome, and the sentence with the numbers."""

    what: str
    outcome: Outcome
    figure: float | None
    text: str


@cache
def builtin() -> Readings:
    """Return the figures that come with the program, read once from readings.toml."""
    text = (files("inspect_app.trade") / "catalogue" / "readings.toml").read_text("utf-8")
    return TypeAdapter(Readings).validate_python(tomllib.loads(text))


def film(
    reading: FilmReading, material: str, *, where: str = "body", rules: Readings | None = None, no_cut: int = 0
) -> Judged:
    """Judge the build of a whole film: too thin to cut, too thick for another coat, or between.

    Args:
        reading: the film in tenths of µm and the gauge it was read with; "none" is a valid answer and says so.
        material: what lies below: "metal", "plastic" and so on; gauges that cannot read on it are refused.
        where: "body", or a surface before a sensor: "radar", "parking_disc".
        no_cut: of a body, the film below which nothing is cut (tenths of µm); 0 where nobody asks.

    Raises:
        CatalogueError: the gauge cannot read on the material, or `where` is unknown; in one sentence.
    """
    bounds = (builtin() if rules is None else rules).film.get(where)
    if bounds is None:
        raise CatalogueError(f"there is no film limit for '{where}'; add one to readings.toml")
    check_reading(reading, material)
    if reading.film is None:
        return Judged(what="film", outcome="unmeasured", figure=None, text=_("film not read"))
    told = {"film": tenths(reading.film), "gauge": _(FILM_METHODS[reading.method])}
    if reading.film > bounds.strip:
        text = _("film of %(film)s µm (%(gauge)s): over %(most)s µm, the old paint comes off before another coat",
                 most=tenths(bounds.strip), **told)  # fmt: skip
        return Judged(what="film", outcome="over", figure=reading.film / 10, text=text)
    if where == "body" and reading.film < no_cut:
        text = _(
            "film of %(film)s µm (%(gauge)s): under %(least)s µm, nothing is cut here", least=tenths(no_cut), **told
        )
        return Judged(what="film", outcome="look_again", figure=reading.film / 10, text=text)
    if reading.film < bounds.least:
        text = _("film of %(film)s µm (%(gauge)s): under %(least)s µm, thin; cut with care",
                 least=tenths(bounds.least), **told)  # fmt: skip
        return Judged(what="film", outcome="look_again", figure=reading.film / 10, text=text)
    text = _("film of %(film)s µm (%(gauge)s): within %(most)s µm", most=tenths(bounds.strip), **told)
    return Judged(what="film", outcome="within", figure=reading.film / 10, text=text)


def delta_e_2000(one: Lab, other: Lab) -> float:
    """Return ΔE00 between two colours in CIELAB (L*, a*, b*); ValueError for what is not three finite numbers."""
    for lab in (one, other):
        if len(lab) != 3 or not all(isfinite(value) for value in lab):
            raise ValueError("a colour is three numbers: L*, a*, b*")
    from coloraide import Color

    return float(Color("lab-d65", list(one)).delta_e(Color("lab-d65", list(other)), method="2000"))


def colour(
    catalogue: Catalogue,
    pairs: Mapping[int, tuple[Lab, Lab]],
    surface_class: str,
    *,
    effect: bool = False,
    trim: bool = False,
    rules: Readings | None = None,
) -> Judged:
    """Judge a part's colour against its neighbour's by the largest ΔE00 of all angles read; the eye decides in the end.

    Args:
        catalogue: its limit for `shade` on the class is what the figure is held against.
        pairs: by angle in degrees (15, 45, 110), CIELAB of the part and of its neighbour.
        surface_class: "A" to "D".
        effect: metallic or pearl, which 45° alone cannot judge.
        trim: a moulding against the body; against a metallic body its limit starts wider.
    """
    bounds = (catalogue.rule_book.readings if rules is None else rules).colour
    limit = catalogue.limit("shade", surface_class)
    if limit is None or limit.max_size is None:
        text = _("no limit for colour is set on class %(class)s; judge it by eye", **{"class": surface_class})
        return Judged(what="colour", outcome="unmeasured", figure=None, text=text)
    most = max(limit.max_size, bounds.metallic_trim) if effect and trim else limit.max_size
    missing = [angle for angle in (bounds.angles if effect else [45]) if angle not in pairs]
    if missing:
        angles = ", ".join(f"{angle}°" for angle in missing)
        return Judged(
            what="colour", outcome="unmeasured", figure=None, text=_("read it at %(angles)s, too", angles=angles)
        )
    found = {angle: round(delta_e_2000(*pair), 2) for angle, pair in pairs.items()}  # judged as it is shown
    angle = max(sorted(found), key=lambda one: found[one])
    worst = found[angle]
    outcome: Outcome = "over" if worst > most / 10 else "look_again" if worst > bounds.warn / 10 else "within"
    told = {"figure": figure(f"{worst:.2f}"), "angle": angle, "class": surface_class, "most": tenths(most)}
    said = {
        "over": _("ΔE00 %(figure)s at %(angle)s° on class %(class)s: over the limit of %(most)s", **told),
        "look_again": _(
            "ΔE00 %(figure)s at %(angle)s° on class %(class)s: within %(most)s; look at it in two lights", **told
        ),
        "within": _("ΔE00 %(figure)s at %(angle)s° on class %(class)s: within the limit of %(most)s", **told),
    }
    return Judged(what="colour", outcome=outcome, figure=worst, text=said[outcome])


def gap(readings: Sequence[int], *, nominal: int, tolerance: int, taper: int | None = None) -> tuple[Judged, Judged]:
    """Judge a gap by three readings or more along its joint, and how much it runs out; all in tenths of mm.

    `taper` is the most it may run out, None for the starting figure. Raises ValueError for fewer than three readings or
    one below zero.
    """
    _three(readings)
    if min(readings) < 0:
        raise ValueError(f"a gap cannot be below zero (got {tenths(min(readings))} mm); parts that overlap are a step")
    worst = max(readings, key=lambda one: abs(one - nominal))
    told = gap_verdict(worst, nominal=nominal, tolerance=tolerance)
    size = Judged(what="gap", outcome="over" if told.outcome == "over" else "within", figure=worst / 10, text=told.text)
    runs, most = max(readings) - min(readings), builtin().fit.taper if taper is None else taper
    words = {"runs": tenths(runs), "most": tenths(most)}
    text = (
        _("runs out by %(runs)s mm: over %(most)s mm", **words)
        if runs > most
        else _("runs out by %(runs)s mm: within %(most)s mm", **words)
    )
    return size, Judged(what="taper", outcome="over" if runs > most else "within", figure=runs / 10, text=text)


def flush(catalogue: Catalogue, readings: Sequence[int], surface_class: str) -> Judged:
    """Judge the step across a joint by three signed readings or more, in tenths of mm; + is proud of its neighbour."""
    _three(readings)
    limit = catalogue.limit("flush", surface_class)
    worst = max(readings, key=abs)
    if limit is None or limit.max_size is None:
        text = _("no limit for steps is set on class %(class)s", **{"class": surface_class})
        return Judged(what="flush", outcome="unmeasured", figure=worst / 10, text=text)
    told = {"step": tenths(abs(worst)), "most": tenths(limit.max_size), "class": surface_class}
    over = abs(worst) > limit.max_size
    said = {
        (True, True): _("stands %(step)s mm proud on class %(class)s: over %(most)s mm", **told),
        (True, False): _("stands %(step)s mm proud on class %(class)s: within %(most)s mm", **told),
        (False, True): _("lies %(step)s mm low on class %(class)s: over %(most)s mm", **told),
        (False, False): _("lies %(step)s mm low on class %(class)s: within %(most)s mm", **told),
    }
    return Judged(what="flush", outcome="over" if over else "within", figure=worst / 10, text=said[worst > 0, over])


def symmetry(left: Sequence[int], right: Sequence[int], *, most: int | None = None) -> Judged:
    """Judge how far the same joint differs from left to right, point by point; tenths of mm, as many points on both."""
    _three(left)
    if len(left) != len(right):
        raise ValueError("left and right need readings at the same points")
    differs = max(abs(a - b) for a, b in zip(left, right, strict=True))
    bound = builtin().fit.symmetry if most is None else most
    told = {"differs": tenths(differs), "most": tenths(bound)}
    text = (
        _("left and right differ by %(differs)s mm: over %(most)s mm", **told)
        if differs > bound
        else _("left and right differ by %(differs)s mm: within %(most)s mm", **told)
    )
    return Judged(what="symmetry", outcome="over" if differs > bound else "within", figure=differs / 10, text=text)


def _three(readings: Sequence[int]) -> None:
    if len(readings) < 3:
        raise ValueError(f"read a joint at three points: start, middle and end (got {len(readings)})")


def dew_point(air: float, humidity: float) -> float:
    """Return the dew point in °C for air in °C and relative humidity in percent, by the Magnus formula (MAGNUS).

    Raises ValueError for a humidity that is not above 0 and up to 100, or air outside -45 to 60 °C.
    """
    if not 0 < humidity <= 100:
        raise ValueError(f"relative humidity lies above 0 and up to 100 % (got {humidity:g})")
    if not -45 <= air <= 60:
        raise ValueError(f"the formula holds from -45 to 60 °C (got {air:g})")
    a, b = MAGNUS
    ratio = log(humidity / 100) + a * air / (b + air)
    return b * ratio / (a - ratio)


def dew_margin(surface: float, air: float, humidity: float, *, margin: int | None = None) -> Judged:
    """Judge how far a surface is above the dew point, in °C; `margin` in tenths of a degree."""
    point = dew_point(air, humidity)
    apart = round(surface - point, 1)  # judged as it is shown
    least = builtin().dew.margin if margin is None else margin
    told = {"apart": figure(f"{apart:.1f}"), "point": figure(f"{point:.1f}"), "least": tenths(least)}
    over = apart < least / 10
    text = (
        _("%(apart)s °C above the dew point of %(point)s °C: under %(least)s °C, do not paint", **told)
        if over
        else _("%(apart)s °C above the dew point of %(point)s °C: %(least)s °C or more", **told)
    )
    return Judged(what="dew point", outcome="over" if over else "within", figure=apart, text=text)
