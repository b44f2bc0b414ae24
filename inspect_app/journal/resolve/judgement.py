"""Where a marker lies and what its limit says: worked out once, on the server, and copied from then on."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from inspect_app.journal.events import Refusal
from inspect_app.journal.resolve.units import zone_of
from inspect_app.trade import limits
from inspect_app.trade.catalogue import Catalogue, Kind
from inspect_app.trade.outline import Outline
from inspect_app.words import gettext as _

SNAP = 4_000  # tenths of mm: a gloved finger at full view is off by up to 100 mm, a joint further away was not meant


def place(outline: Outline, kind: Kind, at: dict[str, Any]) -> dict[str, Any]:
    """Work out zone, part, class, joint and words of a spot. `at` has view, zone (list-only views), x, y, spread."""
    view = next((view for view in outline.views if view.id == at["view"]), None)
    if view is None:
        raise Refusal("no_view", _("The outline of this unit has no view '%(key)s'; reload the page.", key=at["view"]))
    if view.listed:
        zone = zone_of(outline, at["zone"] or "")
        return {"zone": zone.id, "part": zone.part, "class": zone.surface_class, "joint": None, "words": _(zone.label)}
    if at["x"] is None or at["y"] is None:
        raise Refusal("no_spot", _("'x' and 'y' are missing: tap the spot on the drawing."))
    return _drawn(outline, kind, at)


def _drawn(outline: Outline, kind: Kind, at: dict[str, Any]) -> dict[str, Any]:
    spread = at["spread"] or 0
    zone = outline.locate(at["view"], at["x"], at["y"])
    if zone is None:
        raise Refusal("off_the_van", _("This spot is not on the van; tap on the drawing of the body."))
    words = outline.describe(zone.id, at["x"], at["y"], spread)
    joint = outline.nearest_joint(at["view"], at["x"], at["y"], SNAP) if kind.snaps else None
    return {
        "zone": zone.id,
        "part": zone.part,
        "class": zone.surface_class,
        "joint": joint.id if joint else None,
        "words": _("%(joint)s, %(words)s", joint=_(joint.label), words=words) if joint else words,
    }


def verdict(
    catalogue: Catalogue, kind: Kind, found: dict[str, Any], outline: Outline, others: Callable[[], int]
) -> dict[str, Any]:
    """Hold a size, count or gap against the limit of its kind and class; `others` is asked only where a count is limited."""
    joint = outline.joint(found["joint"]) if found["joint"] else None
    if kind.measure == "gap" and joint is not None and (found["gap"] is not None or found["size"] is None):
        told = limits.gap_verdict(found["gap"], nominal=joint.nominal, tolerance=joint.tolerance)
    else:
        paint = outline.zone(found["zone"]).paint
        limit = limits.limit_for(catalogue, kind.key, found["class"], paint)
        told = limits.verdict(
            catalogue,
            kind.key,
            found["class"],
            size=found["size"],
            count=found["count"],
            others=others() if limit is not None and limit.max_count else 0,
            raking=bool(found["raking"]),
            paint=paint,
        )
    return {"verdict": told.outcome, "limit_text": told.text}
