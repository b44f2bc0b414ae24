"""The ways to put one flaw right: which methods are open, with the clear that earlier work has left at its spot."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from inspect_app.trade.budget import FilmReading, Left, Place, Removal, Spot, spot_at
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.repair_cover import RENEWING, spared
from inspect_app.trade.selectors import Facts, Opened, methods_for, open_methods

PAINTS = ("maker", "ours")


@dataclass(frozen=True, kw_only=True)
class Ways:
    """The methods for a flaw, and its spot with the film that is left there; None where no budget holds."""

    opened: Opened
    spot: Spot | None = None

    @property
    def left(self) -> Left | None:
        """What is left of the clear there, in words too; None where no budget holds."""
        return None if self.spot is None else self.spot.left(0)


def ways(
    catalogue: Catalogue,
    facts: Facts,
    *,
    here: Place | None = None,
    removals: Iterable[Removal] = (),
    reading: FilmReading | None = None,
) -> Ways:
    """Return the methods that are open for a flaw at a place, each held against the clear-coat budget.

    `here` is None for what has no place on a drawing; then, and on what is not painted, no budget holds. `removals` are
    those of the part, the oldest first; `reading` is the latest at the spot.

    Raises:
        CatalogueError: as `open_methods` and `spot_at` do.
    """
    if here is None or facts.paint not in PAINTS or facts.surface_class is None:
        return Ways(opened=open_methods(catalogue, facts))
    spot = spot_at(
        here, removals, surface_class=facts.surface_class, paint=facts.paint, material=facts.material or "metal",
        reading=reading, budgets=catalogue.rule_book.budgets,
    )  # fmt: skip
    if reading is not None:
        read = spot.clear if reading.clear is not None else None
        facts = replace(facts, film=reading.film, clear_left=read)
    films = {method.key: method.film for method in methods_for(catalogue, facts.kind) if method.film}
    barred = {film: words for film in set(films.values()) if (words := spot.bars(film))}
    spent = {key: words for key, film in films.items() if (words := barred.get(film))}
    return Ways(opened=open_methods(catalogue, facts, spent=spent), spot=spot)


def to_json(catalogue: Catalogue) -> dict[str, Any]:
    """Return the rules of a catalogue as plain values, for a browser that reads them the same way."""
    rules, film = catalogue.rule_book.selectors, catalogue.rule_book.budgets
    return {
        "offers": [{"kinds": list(one.kinds), "methods": list(one.methods)} for one in rules.offers],
        "bars": [
            {"methods": list(one.methods), "kinds": list(one.kinds), "when": _plain(one.when), "sentence": one.sentence}
            for one in rules.bars
        ],
        "budgets": {
            "reach": film.reach,
            "no_cut_film": film.no_cut_film,
            "budgets": [
                {"paint": one.paint, "surface_classes": list(one.surface_classes), "most": one.most, "stay": one.stay,
                 "clear": one.clear}
                for one in film.budgets
            ],
        },
        "renewed": {"by": list(RENEWING), "spares": spared(rules)},
    }  # fmt: skip


def _plain(when: Mapping[str, Any]) -> dict[str, Any]:
    return {name: list(wanted) if isinstance(wanted, tuple) else wanted for name, wanted in when.items()}
