"""One reading as it is taken at the van: what was read, whether it can be meant, how it is judged, what it may mean.

The rules themselves are in readings.py and adhesion.py. Figures are whole: film in tenths of a micrometre, L*, a* and
b* in hundredths, lengths, temperatures and humidity in tenths.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

from inspect_app.trade import readings
from inspect_app.trade.adhesion import adhesion
from inspect_app.trade.budget import FILM_METHODS, READS_ON, FilmReading
from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.readings import Judged
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure, tenths

WHATS: dict[str, str] = {
    "film": N_("film build"),
    "colour": N_("colour"),
    "gap": N_("gap and step"),
    "adhesion": N_("adhesion"),
    "dew": N_("dew point"),
}
PLACES: dict[str, str] = {
    "body": N_("a painted surface"),
    "radar": N_("before a radar"),
    "parking_disc": N_("a parking sensor's disc"),
}
KINDS: dict[str, tuple[str, ...]] = {
    "film": ("thin_cover", "sensor", "sag", "run"),
    "colour": ("shade", "two_lights"),
    "gap": ("gap", "taper", "flush", "line_break"),
    "adhesion": ("flaking",),
    "dew": (),
}
"""Kinds of flaw that a reading can speak of, the likeliest first. Common practice, no source."""
WORST = ("unmeasured", "within", "look_again", "over")


@dataclass(frozen=True, kw_only=True)
class Ground:
    """What was read on: the class and material of the part, whether the van's colour is metallic or pearl."""

    surface_class: str = "A"
    material: str = "metal"
    effect: bool = False
    nominal: int | None = None
    tolerance: int | None = None


@dataclass(frozen=True, kw_only=True)
class Flaw:
    """A marker that a reading speaks of: its kind, and its size or gap in tenths where the kind has one."""

    kind: str
    size: int | None = None
    gap: int | None = None


def judge(
    catalogue: Catalogue,
    what: str,
    told: Mapping[str, Any],
    ground: Ground,
    *,
    other_side: Sequence[int] | None = None,
) -> tuple[Judged, ...]:
    """Hold one reading against its limits.

    Args:
        catalogue: the version that is in force.
        what: a key of WHATS.
        told: what was read, as the event `reading_taken` tells it.
        ground: what it was read on.
        other_side: the gaps at the same joint on the other side of the van, where somebody has read them.

    Raises:
        CatalogueError: the reading cannot be meant or has no limit, in one sentence.
    """
    return {"film": _film, "colour": _colour, "gap": _gap, "adhesion": _adhesion, "dew": _dew}[what](
        catalogue, told, ground, other_side
    )


def outcome(judged: Iterable[Judged]) -> str:
    """Return the worst of several: over, look_again, within, or unmeasured where nothing could be judged."""
    return max((one.outcome for one in judged), key=WORST.index, default="unmeasured")


def flaws(what: str, told: Mapping[str, Any], judged: Sequence[Judged], *, nominal: int | None = None) -> list[Flaw]:
    """Return the markers that a reading that did not pass may be the reason for, the likeliest first."""
    found: list[Flaw] = []
    for one in judged:
        if one.outcome == "over" and one.what in _FLAW_OF:
            found.append(_FLAW_OF[one.what](told, one, nominal))
    if what == "film" and not found and any(one.outcome == "look_again" for one in judged):
        found.append(Flaw(kind="thin_cover"))
    named = {one.kind for one in found}
    return found + [Flaw(kind=kind) for kind in KINDS[what] if kind not in named]


def _film_flaw(told: Mapping[str, Any], _one: Judged, _nominal: int | None) -> Flaw:
    return Flaw(kind="sag" if told.get("where", "body") == "body" else "sensor")


def _gap_flaw(told: Mapping[str, Any], one: Judged, nominal: int | None) -> Flaw:
    worst = max(told["gap"], key=lambda gap: abs(gap - (nominal or 0)))
    return Flaw(kind="gap", gap=worst if one.what == "gap" else None)


def _sized(kind: str) -> Any:
    return lambda _told, one, _nominal: Flaw(kind=kind, size=max(1, ceil(round(abs(one.figure or 0) * 10, 6))))


_FLAW_OF: dict[str, Any] = {
    "film": _film_flaw,
    "colour": _sized("shade"),
    "gap": _gap_flaw,
    "taper": _sized("taper"),
    "flush": _sized("flush"),
    "symmetry": _gap_flaw,
    "adhesion": lambda _told, _one, _nominal: Flaw(kind="flaking"),
}


def _film(catalogue: Catalogue, told: Mapping[str, Any], ground: Ground, _other: Any) -> tuple[Judged, ...]:
    method, film = told["method"], told.get("film")
    if ground.material not in READS_ON.get(method, (ground.material,)):
        gauge = _(FILM_METHODS[method])
        raise CatalogueError(
            _("The %(gauge)s does not read on this part; use an ultrasonic gauge, a witness tab, or none.", gauge=gauge)
        )
    if method == "none" and film is not None:
        raise CatalogueError(_("'Not read' has no figure; choose the gauge, or leave the film empty."))
    if method != "none" and film is None:
        raise CatalogueError(_("'Film' is missing; write what the gauge showed, or choose 'not read'."))
    rules, where = catalogue.rule_book.readings, told.get("where", "body")
    no_cut = catalogue.rule_book.budgets.no_cut_film
    return (
        readings.film(FilmReading(method=method, film=film), ground.material, where=where, rules=rules, no_cut=no_cut),
    )


def _colour(catalogue: Catalogue, told: Mapping[str, Any], ground: Ground, _other: Any) -> tuple[Judged, ...]:
    angles = [pair["angle"] for pair in told["colour"]]
    if len(set(angles)) < len(angles):
        raise CatalogueError(_("An angle is there twice; keep one reading of each."))
    pairs = {pair["angle"]: (_lab(pair["part"]), _lab(pair["beside"])) for pair in told["colour"]}
    trim = ground.material == "plastic"
    return (readings.colour(catalogue, pairs, ground.surface_class, effect=ground.effect, trim=trim),)


def _lab(hundredths: Sequence[int]) -> tuple[float, float, float]:
    lightness, a, b = (one / 100 for one in hundredths)
    return lightness, a, b


def _gap(catalogue: Catalogue, told: Mapping[str, Any], ground: Ground, other: Any) -> tuple[Judged, ...]:
    if ground.nominal is None or ground.tolerance is None:
        raise CatalogueError(_("A gap belongs to a joint; choose the joint that was read."))
    gaps, steps = told.get("gap"), told.get("flush")
    if not gaps and not steps:
        raise CatalogueError(_("Nothing was read; write the gap or the step at all three points."))
    found: list[Judged] = []
    fit = catalogue.rule_book.readings.fit
    if gaps:
        found += readings.gap(gaps, nominal=ground.nominal, tolerance=ground.tolerance, taper=fit.taper)
        if other:
            found.append(readings.symmetry(gaps, other, most=fit.symmetry))
    if steps:
        found.append(readings.flush(catalogue, steps, ground.surface_class))
    return tuple(found)


def _adhesion(catalogue: Catalogue, told: Mapping[str, Any], ground: Ground, _other: Any) -> tuple[Judged, ...]:
    rules = catalogue.rule_book.readings
    return (adhesion(told["scale"], told["grade"], ground.surface_class, film=told.get("film"), rules=rules),)


def _dew(catalogue: Catalogue, told: Mapping[str, Any], _ground: Ground, _other: Any) -> tuple[Judged, ...]:
    margin = catalogue.rule_book.readings.dew.margin
    return (readings.dew_margin(told["surface"] / 10, told["air"] / 10, told["humidity"] / 10, margin=margin),)


def told_words(what: str, told: Mapping[str, Any]) -> str:
    """Say what was read, without its judgement: for the page of a reading and for the sheet."""
    if what == "film":
        gauge, where = _(FILM_METHODS[told["method"]]), _(PLACES[told.get("where", "body")])
        film = told.get("film")
        return f"{gauge}, {where}" if film is None else f"{tenths(film)} µm, {gauge}, {where}"
    if what == "colour":
        said = [
            _("%(angle)s°: part %(part)s, beside %(beside)s", angle=pair["angle"], part=_triple(pair["part"]),
              beside=_triple(pair["beside"]))
            for pair in told["colour"]
        ]  # fmt: skip
        return "; ".join(said)
    if what == "gap":
        gaps, steps = told.get("gap"), told.get("flush")
        parts = [_("gap %(points)s mm", points=_points(gaps))] if gaps else []
        parts += [_("step %(points)s mm", points=_points(steps))] if steps else []
        return "; ".join(parts)
    if what == "adhesion":
        grade = told["grade"] if told["scale"] == "ISO 2409" else f"{told['grade']}B"
        film = told.get("film")
        return f"{told['scale']} {grade}" if film is None else f"{told['scale']} {grade}, {tenths(film)} µm"
    return _(
        "air %(air)s °C, surface %(surface)s °C, humidity %(humidity)s %%",
        air=_minus(tenths(told["air"])),
        surface=_minus(tenths(told["surface"])),
        humidity=tenths(told["humidity"]),
    )


def _points(figures: Sequence[int]) -> str:
    return " / ".join(_minus(tenths(one)) for one in figures)


def _minus(written: str) -> str:
    """A figure with a minus for its hyphen; what is typed has the hyphen."""
    return written.replace("-", "−")


def _triple(hundredths: Sequence[int]) -> str:
    return " ".join(_minus(figure(f"{one / 100:.2f}")) for one in hundredths)
