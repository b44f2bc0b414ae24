"""What a catalogue's own rules must hold before they may be published: each fault a sentence with its place."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from inspect_app.trade import cluster_rows, part_stages, selectors
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.rule_rows import Ask, Budget, Budgets, Readings, Rules
from inspect_app.words import gettext as _

PAINTS = ("maker", "ours")
CLASSES = ("A", "B", "C", "D")
WIDEST = 1_000_000
ANGLES = range(1, 180)
Found = Iterator[tuple[tuple[str | int, ...], str]]


def rule_faults(catalogue: Catalogue) -> Found:
    """Yield the faults of the rules that a catalogue has of its own; those that come with the program have none."""
    rules = catalogue.rules
    if rules is None:
        return
    for part, found in (
        (("clusters",), cluster_rows.located(catalogue, rules.clusters)),
        (("selectors",), selectors.located(catalogue, rules.selectors)),
        (("budgets",), _budgets(rules.budgets)),
        (("readings",), _readings(rules.readings)),
        (("part_stages",), _stages(catalogue, rules)),
        (("gate_values",), _gate_values(catalogue, rules)),
    ):
        for place, sentence in found:
            yield ("rules", *part, *place), sentence


def _budgets(budgets: Budgets) -> Found:
    for field in ("reach", "thin_film", "no_cut_film"):
        if not 0 < getattr(budgets, field) <= WIDEST:
            yield (field,), _("'%(field)s' of the budgets needs a figure above zero", field=field)
    if budgets.thin_film < budgets.no_cut_film:
        yield ("thin_film",), _("a film is thin before nothing may be cut from it; 'thin_film' is below 'no_cut_film'")
    held: dict[tuple[str, str], tuple[int, Budget]] = {}
    for number, one in enumerate(budgets.budgets):
        yield from (((("budgets", number, field)), said) for field, said in _budget(number, one))
        for name in one.surface_classes:
            if (one.paint, name) in held:
                yield ("budgets", number, "surface_classes"), _(
                    "budget %(number)s never counts on class %(name)s: an earlier row covers it",
                    number=number + 1, name=name,
                )  # fmt: skip
            held.setdefault((one.paint, name), (number, one))
    for paint in PAINTS:
        rows = [(name, held[paint, name]) for name in CLASSES if (paint, name) in held]
        for name in CLASSES:
            if (paint, name) not in held:
                whose = _("chassis maker's paint") if paint == "maker" else _("own paint")
                yield (
                    ("budgets",),
                    _(
                        "there is no clear-coat budget for %(whose)s on class %(name)s; add a row",
                        whose=whose,
                        name=name,
                    ),
                )
        for (plain, (_number, strict)), (hidden, (number, mild)) in itertools.pairwise(rows):
            if mild.most < strict.most or mild.stay > strict.stay:
                yield ("budgets", number, "most" if mild.most < strict.most else "stay"), _(
                    "budget %(number)s is tighter on class %(hidden)s than on class %(plain)s of the same paint",
                    number=number + 1, hidden=hidden, plain=plain,
                )  # fmt: skip


def _budget(number: int, one: Budget) -> Iterator[tuple[str, str]]:
    where = _("budget %(number)s", number=number + 1)
    if one.paint not in PAINTS:
        yield "paint", _("%(where)s is for 'maker' or 'ours' (got '%(got)s')", where=where, got=one.paint[:20])
    strange = [name for name in one.surface_classes if name not in CLASSES]
    if strange or not one.surface_classes:
        yield "surface_classes", _("%(where)s must name classes that exist", where=where)
    for field in ("most", "stay", "clear"):
        if not 0 < getattr(one, field) <= WIDEST:
            yield field, _("'%(field)s' of %(where)s needs a figure above zero", field=field, where=where)
    if 0 < one.clear <= one.stay:
        yield (
            "clear",
            _(
                "%(where)s leaves nothing to polish: the clear that is assumed must be more than what must stay",
                where=where,
            ),
        )
    if not one.origin.strip():
        yield "origin", _("%(where)s does not say where it comes from; fill in its origin", where=where)


def _readings(readings: Readings) -> Found:
    for place in ("body", "radar", "parking_disc"):
        if place not in readings.film:
            yield ("film",), _("the bounds of film at '%(place)s' are missing; put them back", place=place)
    for place, film in readings.film.items():
        if not 0 < film.strip <= WIDEST:
            yield ("film", place, "strip"), _("film at '%(place)s' needs a most above zero", place=place)
        elif not 0 <= film.least < film.strip:
            yield (
                ("film", place, "least"),
                _(
                    "film at '%(place)s' would be thin and too thick at once: its least must be below its most",
                    place=place,
                ),
            )
    named = {"colour": ("warn", "metallic_trim"), "fit": ("taper", "symmetry", "proud"), "dew": ("margin",),
             "adhesion": ("thickest",)}  # fmt: skip
    for name, fields in named.items():
        for field in fields:
            if not 0 < getattr(getattr(readings, name), field) <= WIDEST:
                yield (
                    (name, field),
                    _("'%(field)s' of the reading '%(name)s' needs a figure above zero", field=field, name=name),
                )
    angles = readings.colour.angles
    if 45 not in angles or len(set(angles)) < len(angles) or not set(angles) <= set(ANGLES):
        yield ("colour", "angles"), _("the angles of colour are each there once, and 45 among them")
    worst = readings.adhesion.worst
    if set(worst) != set(CLASSES) or any(grade not in range(6) for grade in worst.values()):
        yield ("adhesion", "worst"), _("adhesion needs a grade of 0 to 5 for each of the classes A to D")
    else:
        for plain, hidden in itertools.pairwise(CLASSES):
            if worst[hidden] < worst[plain]:
                yield (
                    ("adhesion", "worst", hidden),
                    _(
                        "adhesion is judged harder on class %(hidden)s than on class %(plain)s",
                        hidden=hidden,
                        plain=plain,
                    ),
                )
    bounds = [((name,), getattr(readings, name)) for name in ("colour", "fit", "dew", "adhesion")]
    for at, one in [*bounds, *((("film", place), film) for place, film in readings.film.items())]:
        if not one.origin.strip():
            yield (
                (*at, "origin"),
                _(
                    "the reading '%(name)s' does not say where its bounds come from; fill in its origin",
                    name=".".join(at),
                ),
            )


def _stages(catalogue: Catalogue, rules: Rules) -> Found:
    book = rules.part_stages
    yield from part_stages.located(book)
    for key, stage in book.stages.items():
        if stage.department not in catalogue.departments:
            yield (
                ("stages", key, "department"),
                _(
                    "stage '%(key)s' names the department '%(name)s', which does not exist",
                    key=key,
                    name=stage.department,
                ),
            )
        yield from (
            (
                ("stages", key, "cautions"),
                _("stage '%(key)s' names the caution '%(name)s', which does not exist", key=key, name=name),
            )
            for name in stage.cautions
            if name not in catalogue.cautions
        )
        if not stage.label.strip():
            yield ("stages", key, "label"), _("'%(key)s' has no name; give it one", key=key)


def _gate_values(catalogue: Catalogue, rules: Rules) -> Found:
    for gate, asked in rules.gate_values.items():
        if gate not in catalogue.gates:
            yield (gate,), _("values are asked at the gate '%(gate)s', which does not exist", gate=gate)
        for name in asked.cautions:
            if name not in catalogue.cautions:
                yield (
                    (gate, "cautions"),
                    _("gate '%(gate)s' names the caution '%(name)s', which does not exist", gate=gate, name=name),
                )
        if not asked.asks:
            yield (gate, "asks"), _("gate '%(gate)s' asks for nothing; leave its values out instead", gate=gate)
        for number, ask in enumerate(asked.asks):
            for field, said in _ask(gate, ask, asked.asks[:number], asked.asks):
                yield (gate, "asks", number, field), said


def _ask(gate: str, ask: Ask, before: tuple[Ask, ...], asks: tuple[Ask, ...]) -> Iterator[tuple[str, str]]:
    where = _("'%(key)s' of the gate '%(gate)s'", key=ask.key, gate=gate)
    if any(one.key == ask.key for one in before):
        yield "key", _("%(where)s is asked twice; keep one", where=where)
    if not ask.label.strip():
        yield "label", _("%(where)s does not say what is asked", where=where)
    keys = {choice.key for choice in ask.choices}
    if ask.fails and ask.fails not in keys:
        yield "fails", _("%(where)s fails by a choice that it does not have", where=where)
    if ask.choices and (ask.least is not None or ask.most is not None):
        yield "choices", _("%(where)s is a choice and a figure at once; make it one of them", where=where)
    if (ask.least is None) != (ask.most is None) or (ask.most is not None and (ask.least or 0) > ask.most):
        yield "most", _("%(where)s needs a least and a most, the least first", where=where)
    if ask.all_of and ask.all_of not in {one.key for one in asks if one.most is not None and one is not ask}:
        yield "all_of", _("%(where)s is counted out of something that is not asked", where=where)
    if ask.due_with and ask.due_with not in {choice.key for one in before for choice in one.choices}:
        yield "due_with", _("%(where)s is due with a choice that nothing before it has", where=where)
