"""The rules of a catalogue in words, line by line: for their page in the setup, and to tell versions apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_words import PAINTS
from inspect_app.trade.reading_taken import PLACES
from inspect_app.trade.rule_rows import Ask, Budgets, Cluster, Condition, Readings, Stages
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths

WITHIN = {
    "pair": N_("a pair"),
    "square": N_("within a square"),
    "circle": N_("within a circle"),
    "part": N_("on a part"),
    "m2": N_("a square metre"),
}
CONDITIONS = {
    "material": N_("material"),
    "surface_class": N_("class"),
    "paint": N_("paint"),
    "depth": N_("down to"),
    "size_over": N_("size above"),
    "count_over": N_("on the part more than"),
    "on_edge": N_("on an edge"),
    "horizontal": N_("on a roof or a bonnet"),
    "cured": N_("cured through"),
    "nail_catches": N_("a nail catches"),
    "body_repaired": N_("body metal was repaired"),
    "driver_view": N_("in the driver's view"),
    "traced": N_("the leak is traced"),
    "film_below": N_("film under (µm)"),
    "film_over": N_("film above (µm)"),
    "clear_after_below": N_("clear that would be left under (µm)"),
}

VALUES = {
    **{paint: label for paint, label in PAINTS.items() if paint},
    "metal": N_("metal"),
    "plastic": N_("plastic"),
    "glass": N_("glass"),
    "rubber": N_("rubber"),
    "clear": N_("clear"),
    "base": N_("base"),
    "primer": N_("primer"),
}


@dataclass(frozen=True, kw_only=True)
class Line:
    """One rule: what it is about, and what it says by field, its source among them."""

    label: str
    said: Mapping[str, str]


Key = tuple[str, str]


def rule_lines(catalogue: Catalogue) -> dict[Key, Line]:
    """Return the rules that hold, by part (see catalogue_words.RULES) and a key that stays when figures change."""
    rules = catalogue.rule_book
    found: dict[Key, Line] = {}
    for part, lines in (
        ("clusters", _clusters(catalogue, rules.clusters)),
        ("offers", _offers(catalogue)),
        ("bars", _bars(catalogue)),
        ("budgets", _budgets(rules.budgets)),
        ("readings", _readings(rules.readings)),
        ("part_stages", _part_stages(catalogue, rules.part_stages)),
        ("gate_values", _gate_values(catalogue)),
    ):
        found |= {(part, key): line for key, line in lines}
    return found


Lines = Iterator[tuple[str, Line]]


def cluster_text(row: Cluster) -> str:
    """Say what a row lets through, from its figures: for a row whose figures a plant has changed."""
    values = {"n": row.max_count, "reach": tenths(row.reach or 0)}
    said = {
        "pair": _("%(reach)s mm or more apart", **values),
        "square": _("at most %(n)s small flaws within %(reach)s mm", **values),
        "circle": _("at most %(n)s small flaws within a circle of %(reach)s mm", **values),
        "part": _("at most %(n)s small flaws on a part", **values),
        "m2": _("at most %(n)s small flaws a square metre", **values),
    }[row.within]
    if row.raking_max_count is None:
        return said
    return _("%(said)s, %(n)s when raking light alone shows the rest", said=said, n=row.raking_max_count)


def _clusters(catalogue: Catalogue, rows: Sequence[Cluster]) -> Lines:
    seen: Counter[str] = Counter()
    for row in rows:
        name = f"{row.surface_class} {row.within}"
        seen[name] += 1
        label = _("class %(class_)s, %(within)s", class_=row.surface_class, within=_(WITHIN[row.within]))
        yield (
            f"{name} {seen[name]}",
            Line(
                label=label,
                said={
                    _("within (mm)"): tenths(row.reach) if row.reach else "",
                    _("at most"): str(row.max_count),
                    _("in raking light"): "" if row.raking_max_count is None else str(row.raking_max_count),
                    _("kinds"): _labels(catalogue.kinds, row.kinds),
                    _("in words"): _(row.text),
                    _("where it comes from"): row.origin,
                },
            ),
        )


def _offers(catalogue: Catalogue) -> Lines:
    offers = catalogue.rule_book.selectors.offers
    for kind in catalogue.kinds.values():
        methods = [key for offer in offers if kind.key in offer.kinds for key in offer.methods]
        if methods:
            said = {_("methods, mildest first"): _labels(catalogue.methods, methods)}
            yield kind.key, Line(label=_(kind.label), said=said)


def _bars(catalogue: Catalogue) -> Lines:
    seen: Counter[str] = Counter()
    for bar in catalogue.rule_book.selectors.bars:
        seen[bar.sentence] += 1
        yield (
            f"{bar.sentence} {seen[bar.sentence]}",
            Line(
                label=_(bar.sentence),
                said={
                    _("methods"): _labels(catalogue.methods, bar.methods),
                    _("kinds"): _labels(catalogue.kinds, bar.kinds),
                    _("where"): "; ".join(_condition(name, bar.when[name]) for name in sorted(bar.when, key=_told)),
                    _("where it comes from"): bar.origin,
                },
            ),
        )


def _told(name: str) -> int:
    """Conditions are told in one order: as they are kept they have none."""
    return list(CONDITIONS).index(name) if name in CONDITIONS else len(CONDITIONS)


def _condition(name: str, wanted: Condition) -> str:
    said = _(CONDITIONS.get(name, name))
    if isinstance(wanted, bool):
        return said if wanted else _("not: %(what)s", what=said)
    if isinstance(wanted, int):
        return f"{said} {wanted if name == 'count_over' else tenths(wanted)}"
    return f"{said} {', '.join(_(VALUES[one]) if one in VALUES else one for one in wanted)}"


def _budgets(budgets: Budgets) -> Lines:
    yield (
        "all",
        Line(
            label=_("All spots"),
            said={
                _("the same clear within (mm)"): tenths(budgets.reach),
                _("a film is thin under (µm)"): tenths(budgets.thin_film),
                _("nothing is cut under (µm)"): tenths(budgets.no_cut_film),
                _("where it comes from"): budgets.origin,
            },
        ),
    )
    for one in budgets.budgets:
        classes = ", ".join(one.surface_classes)
        yield (
            f"{one.paint} {classes}",
            Line(
                label=_("%(paint)s, class %(classes)s", paint=_(PAINTS[one.paint]), classes=classes)
                if one.paint in PAINTS
                else classes,
                said={
                    _("may come off (µm)"): tenths(one.most),
                    _("must stay (µm)"): tenths(one.stay),
                    _("assumed to be there (µm)"): tenths(one.clear),
                    _("where it comes from"): one.origin,
                },
            ),
        )


def _readings(readings: Readings) -> Lines:
    for place, film in readings.film.items():
        yield (
            f"film {place}",
            Line(
                label=_("film, %(place)s", place=_(PLACES.get(place, place))),
                said={
                    _("thin under (µm)"): tenths(film.least) if film.least else "",
                    _("too thick over (µm)"): tenths(film.strip),
                    _("where it comes from"): film.origin,
                },
            ),
        )
    colour, fit, dew, adhesion = readings.colour, readings.fit, readings.dew, readings.adhesion
    told: tuple[tuple[str, str, dict[str, str], Any], ...] = (
        (
            "colour",
            _("colour"),
            {
                _("look again above (ΔE00)"): tenths(colour.warn),
                _("a trim of metallic or pearl, at most (ΔE00)"): tenths(colour.metallic_trim),
                _("angles of metallic and pearl"): ", ".join(f"{one}°" for one in colour.angles),
            },
            colour,
        ),
        (
            "fit",
            _("gap and step"),
            {
                _("runs out by at most (mm)"): tenths(fit.taper),
                _("left and right differ by at most (mm)"): tenths(fit.symmetry),
                _("proud of the part before it by at most (mm)"): tenths(fit.proud),
            },
            fit,
        ),
        ("dew", _("dew point"), {_("above the dew point at least (°C)"): tenths(dew.margin)}, dew),
        (
            "adhesion",
            _("adhesion"),
            {
                **{
                    _("worst grade that passes, class %(class_)s", class_=name): str(grade)
                    for name, grade in adhesion.worst.items()
                },
                _("no cross-cut above (µm)"): tenths(adhesion.thickest),
            },
            adhesion,
        ),
    )
    for key, label, said, row in told:
        yield key, Line(label=label, said={**said, _("where it comes from"): row.origin})


def _part_stages(catalogue: Catalogue, book: Stages) -> Lines:
    for key, stage in book.stages.items():
        yield (
            f"stage {key}",
            Line(
                label=_(stage.label),
                said={
                    _("department"): _labels(catalogue.departments, (stage.department,)),
                    _("in words"): _(stage.text),
                    _("cautions"): _labels(catalogue.cautions, stage.cautions),
                    _("where it comes from"): stage.origin,
                },
            ),
        )
    for key, material in book.materials.items():
        line = " → ".join(_(book.stages[one].label) if one in book.stages else one for one in material.stages)
        yield (
            f"material {key}",
            Line(
                label=_(material.label),
                said={_("stages"): line, _("where it comes from"): material.origin},
            ),
        )
    for name, spans in ((_("wait"), book.waits), (_("not later"), book.windows)):
        seen: Counter[str] = Counter()
        for span in spans:
            key = f"{'wait' if spans is book.waits else 'window'} {span.since} {span.before} {span.text}"
            seen[key] += 1
            ends = [_(book.stages[one].label) if one in book.stages else one for one in (span.since, span.before)]
            yield (
                f"{key} {seen[key]}",
                Line(
                    label=_("%(name)s: from %(since)s to %(before)s", name=name, since=ends[0], before=ends[1]),
                    said={
                        _("minutes"): str(span.minutes),
                        _("in words"): _(span.text),
                        _("where it comes from"): span.origin,
                    },
                ),
            )


def _gate_values(catalogue: Catalogue) -> Lines:
    for key, asked in catalogue.rule_book.gate_values.items():
        yield (
            key,
            Line(
                label=_labels(catalogue.gates, (key,)),
                said={
                    _("hint"): _(asked.hint),
                    _("is asked"): "; ".join(_asked(ask) for ask in asked.asks),
                    _("again after work on a seal"): _("yes") if asked.retest else "",
                    _("cautions"): _labels(catalogue.cautions, asked.cautions),
                    _("where it comes from"): asked.origin,
                },
            ),
        )


def _asked(ask: Ask) -> str:
    if ask.choices:
        return f"{_(ask.label)}: {', '.join(_(choice.label) for choice in ask.choices)}"
    if ask.most is None or ask.least is None:
        return _(ask.label)
    ends = [tenths(one) if ask.tenths else str(one) for one in (ask.least, ask.most)]
    return " ".join(filter(None, (f"{_(ask.label)}: {ends[0]}–{ends[1]}", _(ask.unit) if ask.unit else "")))


def _labels(rows: Mapping[str, Any], keys: Sequence[str]) -> str:
    return ", ".join(_(rows[key].label) if key in rows else key for key in keys)
