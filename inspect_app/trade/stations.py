"""The stations of the line: where a van stands by what it has passed, and which flaws cannot have been made yet."""

from __future__ import annotations

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_rows import Station


def furthest(catalogue: Catalogue, *passed: str | None) -> str | None:
    """Return that of some stations which comes last on the line; None when there is none that the catalogue knows."""
    line = list(catalogue.stations)
    return max((key for key in passed if key in line), key=line.index, default=None)


def stands_at(catalogue: Catalogue, passed: str | None) -> str | None:
    """Return the station a van is at: the one after the last it has passed, at the end of the line the last itself.

    None while it has passed none: then nobody has said where it is. A retired station keeps its place on the line for
    the vans that have passed it, and no van stands there.
    """
    line = list(catalogue.stations)
    if passed not in line:
        return None
    offered = [key for key in line if not catalogue.stations[key].retired]
    return next((key for key in offered if line.index(key) > line.index(passed)), offered[-1] if offered else None)


def not_yet(catalogue: Catalogue, department: str, found_at: str | None) -> Station | None:
    """Return the station of a department when it comes after the one a flaw was found at, else None.

    A flaw of such a department was found before it had worked on the van. A department at several stations counts at
    its first; one that stands under no station may have been at the van at any time.
    """
    line = list(catalogue.stations)
    offered = (row for row in catalogue.stations.values() if not row.retired)
    own = next((row for row in offered if department in row.departments), None)
    if own is None or found_at not in line:
        return None
    return own if line.index(own.key) > line.index(found_at) else None
