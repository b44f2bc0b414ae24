"""Which methods are open for a flaw, and why each of the others is not: the rules of selectors.toml.

A suggestion and no lock: whoever does the work may choose otherwise, with a reason. What is not known takes nothing
away, but is asked for where it would decide.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from pydantic import TypeAdapter, ValidationError

from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.catalogue_rows import Method
from inspect_app.trade.rule_rows import Selectors, Wanted
from inspect_app.words import N_
from inspect_app.words import gettext as _

Depth = Literal["clear", "base", "primer", "metal", "plastic"]


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What is known of one marker; None is not known. Sizes in tenths of the kind's unit, film in tenths of a µm.

    `depth` is the deepest layer that the flaw reaches, `clear_left` the clear that is there now, `film` the whole film
    above the substrate. `spent` is why no more film may be taken off here (see budget.py), or None.
    """

    kind: str
    material: str | None = None
    surface_class: str | None = None
    paint: str | None = None
    size: int | None = None
    count: int | None = 1
    depth: Depth | None = None
    clear_left: int | None = None
    film: int | None = None
    on_edge: bool | None = None
    horizontal: bool | None = None
    cured: bool | None = None
    nail_catches: bool | None = None
    body_repaired: bool | None = None
    driver_view: bool | None = None
    traced: bool | None = None
    spent: str | None = None


@dataclass(frozen=True, kw_only=True)
class Opened:
    """Methods that are open, mildest first; the barred ones with their reasons; questions that would decide more."""

    open: tuple[str, ...]
    barred: Mapping[str, tuple[str, ...]]
    asks: tuple[str, ...]


ASKS = {
    "size": N_("How large is it?"),
    "depth": N_("How deep does it go: clear, base, primer or through?"),
    "clear_left": N_("How much clear is there? Read the film."),
    "film": N_("How thick is the film? Read it."),
    "on_edge": N_("Does it lie within 15 mm of an edge or crease?"),
    "horizontal": N_("Is it on the roof or the bonnet?"),
    "cured": N_("Is the film cured through?"),
    "nail_catches": N_("Does a fingernail catch in it?"),
    "body_repaired": N_("Was body metal repaired here?"),
    "driver_view": N_("Is it in the driver's view?"),
    "traced": N_("Has the leak been traced?"),
    "material": N_("Is the part of metal or of plastic?"),
    "surface_class": N_("Which surface class is it on?"),
    "paint": N_("Whose paint is it?"),
    "count": N_("How many are there on the part?"),
}
KNOWN = {one.name for one in fields(Facts)} - {"kind", "spent"}


@cache
def builtin() -> Selectors:
    """Return the rules that come with the program, read once from selectors.toml."""
    return load(tomllib.loads((files("inspect_app.trade") / "catalogue" / "selectors.toml").read_text("utf-8")))


def load(rows: Mapping[str, Any]) -> Selectors:
    """Return rules from their plain form; raises CatalogueError with one sentence that names the place."""
    try:
        return TypeAdapter(Selectors).validate_python(rows)
    except ValidationError as fault:
        first = fault.errors(include_url=False)[0]
        where = ".".join(str(step) for step in first["loc"])
        raise CatalogueError(f"selectors: {where}: {first['msg'][:1].lower()}{first['msg'][1:]}") from fault


def open_methods(
    catalogue: Catalogue,
    facts: Facts,
    selectors: Selectors | None = None,
    *,
    spent: Mapping[str, str] | None = None,
) -> Opened:
    """Return which methods are open for a marker, mildest first, which are barred and why, and what else to ask.

    `spent` names the methods that would take more film than may come off here, each with why (see budget.py); what
    `facts.spent` says holds for all that take any. Retired methods are not offered.

    Raises:
        CatalogueError: the kind is not in the catalogue, or the rules offer no method for it.
    """
    rules = catalogue.rule_book.selectors if selectors is None else selectors
    catalogue.kind(facts.kind)
    offered = methods_for(catalogue, facts.kind, rules)
    if not offered:
        raise CatalogueError(f"the selectors offer no method for '{facts.kind}'; add a row of offers")
    barred: dict[str, tuple[str, ...]] = {}
    asked: dict[str, None] = {}
    for method in offered:
        key = method.key
        reasons, unknown = _reasons(method, facts, rules)
        reasons += [spent[key]] if spent and key in spent else []
        if reasons:
            barred[key] = tuple(reasons)
        else:
            asked |= dict.fromkeys(unknown)
    still_open = tuple(method.key for method in offered if method.key not in barred)
    return Opened(open=still_open, barred=barred, asks=tuple(_(ASKS[name]) for name in asked))


def methods_for(catalogue: Catalogue, kind: str, selectors: Selectors | None = None) -> list[Method]:
    """Return the methods of a catalogue that come into question for a kind, mildest first, without retired ones."""
    keys = (catalogue.rule_book.selectors if selectors is None else selectors).offered.get(kind, ())
    return [method for key in keys if (method := catalogue.methods.get(key)) is not None and not method.retired]


def is_offered(kind: str, selectors: Selectors | None = None) -> bool:
    """Tell whether the rules say which methods come into question for a kind."""
    return kind in (builtin() if selectors is None else selectors).offered


def _reasons(method: Method, facts: Facts, rules: Selectors) -> tuple[list[str], list[str]]:
    reasons: list[str] = []
    unknown: list[str] = []
    for sentence, conditions in _against(rules, method.key, facts.kind):
        missing: list[str] = []
        for name, fact, wanted in conditions:
            value = getattr(facts, fact)
            if value is None:
                missing.append(fact)
            elif not _holds(name, wanted, method, value):
                break
        else:
            if missing:
                unknown += missing
            else:
                reasons.append(_(sentence))
    if method.film and facts.spent:
        reasons.append(facts.spent)
    return reasons, unknown


def _against(rules: Selectors, method: str, kind: str) -> list[tuple[str, list[Wanted]]]:
    """The bars of a method for a kind, sorted out once: there are some hundred of them, and few concern one method."""
    found = rules.against.get((method, kind))
    if found is None:
        found = rules.against[(method, kind)] = [
            (bar.sentence, [(name, fact_of(name), wanted) for name, wanted in bar.when.items()])
            for bar in rules.bars
            if method in bar.methods and (not bar.kinds or kind in bar.kinds)
        ]
    return found


def _holds(name: str, wanted: Any, method: Method, value: Any) -> bool:
    """Whether a condition holds of a fact that is known."""
    if isinstance(wanted, tuple):
        return value in wanted
    if name == "clear_after_below":
        return bool(value - method.film < wanted)
    if name.endswith("_over"):
        return bool(value > wanted)
    if name.endswith("_below"):
        return bool(value < wanted)
    return bool(value == wanted)


def fact_of(condition: str) -> str:
    """Return the name of the fact that a condition asks about: "size_over" asks about "size"."""
    if condition == "clear_after_below":
        return "clear_left"
    return condition.removesuffix("_over").removesuffix("_below")


Found = Iterator[tuple[tuple[str | int, ...], str]]


def faults(catalogue: Catalogue, selectors: Selectors) -> list[str]:
    """Return what is wrong with rules, each as a sentence with its place; an empty list when they can be used."""
    return [sentence for _place, sentence in located(catalogue, selectors)]


def located(catalogue: Catalogue, selectors: Selectors) -> Found:
    """Yield the faults like `faults`, each with its place: "offers" or "bars", the number (from 0), the field."""
    yield from _offer_faults(catalogue, selectors)
    yield from _bar_faults(catalogue, selectors)


def _offer_faults(catalogue: Catalogue, selectors: Selectors) -> Found:
    offered = {kind for offer in selectors.offers for kind in offer.kinds}
    for kind in catalogue.kinds.values():
        if kind.key not in offered and kind.key in _known_kinds():
            yield (
                ("offers",),
                _("no offer names the kind '%(kind)s'; say which methods come into question", kind=kind.key),
            )
    for number, offer in enumerate(selectors.offers):
        where = _("offer %(number)s", number=number + 1)
        yield from _unknown(("offers", number), where, catalogue, offer.kinds, offer.methods)


@cache
def _known_kinds() -> frozenset[str]:
    """Kinds that come with the program; one that a plant added goes without offers: all its methods are open."""
    return frozenset(kind for offer in builtin().offers for kind in offer.kinds)


def _bar_faults(catalogue: Catalogue, selectors: Selectors) -> Found:
    for number, bar in enumerate(selectors.bars):
        where, place = _("bar %(number)s", number=number + 1), ("bars", number)
        yield from _unknown(place, where, catalogue, bar.kinds, bar.methods)
        if not bar.kinds and not bar.when:
            yield place, _("%(where)s would bar its methods for everything; give it kinds or conditions", where=where)
        if not bar.origin.strip():
            yield (*place, "origin"), _("%(where)s does not say where it comes from; fill in its origin", where=where)
        for name, wanted in bar.when.items():
            if fact_of(name) not in KNOWN:
                yield (
                    (*place, "when", name),
                    _("%(where)s has the condition '%(name)s', which asks about nothing known", where=where, name=name),
                )
            elif name.endswith(("_over", "_below")) and (isinstance(wanted, bool | tuple) or wanted < 0):
                yield (*place, "when", name), _(
                    "%(where)s has the condition '%(name)s', which needs a number of zero or more",
                    where=where, name=name,
                )  # fmt: skip
        if not any(set(bar.methods) & set(offer.methods) for offer in selectors.offers
                   if not bar.kinds or set(bar.kinds) & set(offer.kinds)):  # fmt: skip
            yield (
                (*place, "methods"),
                _("%(where)s never fires: none of its methods is offered for its kinds", where=where),
            )


def _unknown(
    place: tuple[str | int, ...], where: str, catalogue: Catalogue, kinds: tuple[str, ...], methods: tuple[str, ...]
) -> Found:
    for key in kinds:
        if key not in catalogue.kinds:
            yield (*place, "kinds"), _("%(where)s names the kind '%(key)s', which does not exist", where=where, key=key)
    for key in methods:
        if key not in catalogue.methods:
            yield (
                (*place, "methods"),
                _("%(where)s names the method '%(key)s', which does not exist", where=where, key=key),
            )
