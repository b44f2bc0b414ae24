"""An outline as the setup shows it: every view with its zones by class and by part, its joints, and how it compares."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from inspect_app.trade import outline as trade
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Joint, Outline
from inspect_app.words import N_
from inspect_app.words import gettext as _

TINTS = 6  # ways to fill a part; neighbours differ as long as these last
GAPS = {
    "closed": N_("Lying on each other"),
    "narrow": N_("Up to 3 mm apart"),
    "gap": N_("Wider"),
    "across": N_("Measured across what lies between"),
}


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """What a page draws of an outline: `tints` by part, `gaps` by joint, and the counts its legends tell."""

    outline: Outline
    tints: Mapping[str, int]
    gaps: Mapping[str, str]
    classes: Mapping[str, int]
    gap_counts: Mapping[str, int]
    shared: int
    ours: int
    only_here: Sequence[str]
    not_here: Sequence[str]


@lru_cache(maxsize=16)  # outlines never change; a page is opened again and again while one sets it up
def drawing(own: Outline) -> Drawing:
    """Return what a page draws of an outline."""
    ids, ours = {zone.id for zone in own.zones}, {zone.id for zone in trade.builtin().zones}
    gaps = {joint.id: _gap(joint) for view in own.views for joint in view.joints}
    return Drawing(
        outline=own,
        tints=_tints(own),
        gaps=gaps,
        classes=Counter(zone.surface_class for zone in own.zones),
        gap_counts=Counter(gaps.values()),
        shared=len(ids & ours),
        ours=len(ours),
        only_here=sorted(ids - ours),
        not_here=sorted(ours - ids),
    )


def class_words(catalogue: Catalogue) -> dict[str, str]:
    """How visible a surface of each class is, in the catalogue's words: "A, in plain view"."""
    return {key: _("%(key)s, %(label)s", key=key, label=_(row.label)) for key, row in sorted(catalogue.classes.items())}


def _gap(joint: Joint) -> str:
    if joint.nominal <= 5:
        return "closed"
    if joint.nominal <= 30:
        return "narrow"
    return "gap" if joint.nominal < 500 else "across"


def _tints(own: Outline) -> dict[str, int]:
    """Give each part the first tint that none of its neighbours has; the least used one where they have all."""
    tints: dict[str, int] = {}
    for part in own.parts:
        taken = {tints[other] for other in part.neighbours if other in tints}
        used = Counter(tints.values())
        free = [tint for tint in range(TINTS) if tint not in taken]
        tints[part.id] = free[0] if free else min(range(TINTS), key=lambda tint: used[tint])
    return tints
