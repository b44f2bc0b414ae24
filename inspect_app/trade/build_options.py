"""From what a van was ordered with to the zones it does not have."""

from __future__ import annotations

from collections.abc import Iterable

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_rows import Option


def plain(name: str) -> str:
    """Return an option's name as it is compared: without case and doubled blanks."""
    return " ".join(name.split()).casefold()


def option_named(catalogue: Catalogue, name: str) -> Option | None:
    """Return the option that a list of units means by this name, or None; a retired one is not meant any more."""
    wanted = plain(name)
    live = (one for one in catalogue.options.values() if not one.retired)
    return next((one for one in live if plain(one.label) == wanted), None)


def absent_zones(catalogue: Catalogue, ordered: Iterable[str]) -> frozenset[str]:
    """Return the ids of the zones that a van ordered with these options does not have.

    A zone is absent when an option that was ordered takes it, or when options bring it and none of those was ordered.
    Names that the catalogue does not know change nothing.
    """
    had = [option for name in ordered if (option := option_named(catalogue, name)) is not None]
    live = [one for one in catalogue.options.values() if not one.retired]
    brought = {zone for option in had for zone in option.brings}
    taken = {zone for option in had for zone in option.takes}
    return frozenset({zone for option in live for zone in option.brings} - brought | taken)
