"""The outline on a desk page: each view with some of its zones struck out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inspect_app.trade.outline import Outline, View

MARGIN = 60  # mm around the van


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A view to draw: its art as (kind, path), its zones as (path, how it stands), its box in mm."""

    label: str
    box: str
    art: tuple[tuple[str, str], ...]
    zones: tuple[tuple[str, str], ...]


def without(outline: Outline, brings: Iterable[str], takes: Iterable[str]) -> list[Drawn]:
    """The views on which zones hang on an option; all others are left out."""
    marked = {**dict.fromkeys(brings, "brings"), **dict.fromkeys(takes, "takes")}
    views = [view for view in outline.views if any(zone.id in marked and zone.rings for zone in view.zones)]
    return [_drawn(view, marked) for view in views]


def _drawn(view: View, marked: dict[str, str]) -> Drawn:
    return Drawn(
        label=view.label,
        box=f"{-MARGIN} {-MARGIN} {view.width + 2 * MARGIN} {view.height + 2 * MARGIN}",
        art=tuple((art.kind, art.d) for art in view.art),
        zones=tuple((zone.d, marked[zone.id]) for zone in view.zones if zone.id in marked and zone.d),
    )
