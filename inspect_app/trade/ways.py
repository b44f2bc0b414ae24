"""The ways to put one flaw right: which methods are open, with the clear that earlier work has left at its spot."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from inspect_app.trade import budget, selectors
from inspect_app.trade.budget import FilmReading, Left, Place, Removal, clear_left
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.selectors import Facts, Opened, open_methods

PAINTS = ("maker", "ours")


@dataclass(frozen=True, kw_only=True)
class Ways:
    """The methods for a flaw, and what is left of the clear there; None where no budget holds."""

    opened: Opened
    left: Left | None


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
        CatalogueError: as `open_methods` and `clear_left` do.
    """
    if here is None or facts.paint not in PAINTS or facts.surface_class is None:
        return Ways(opened=open_methods(catalogue, facts), left=None)
    done = list(removals)

    def left(takes: int) -> Left:
        return clear_left(
            here, done, surface_class=facts.surface_class or "", paint=facts.paint or "",
            material=facts.material or "metal", takes=takes, reading=reading,
        )  # fmt: skip

    if reading is not None:
        read = left(0).clear if reading.clear is not None else None
        facts = replace(facts, film=reading.film, clear_left=read)
    films = {method.key: method.film for method in catalogue.methods.values() if method.film}
    barred = {film: told.bars for film in set(films.values()) if (told := left(film)).bars}
    spent = {key: words for key, film in films.items() if (words := barred.get(film))}
    return Ways(opened=open_methods(catalogue, facts, spent=spent), left=left(0))


def to_json() -> dict[str, Any]:
    """Return the rules in force as plain values, for a browser that reads them the same way."""
    rules, film = selectors.builtin(), budget.builtin()
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
    }  # fmt: skip


def _plain(when: Mapping[str, Any]) -> dict[str, Any]:
    return {name: list(wanted) if isinstance(wanted, tuple) else wanted for name, wanted in when.items()}
