"""Units arriving, corrected, drawn on another outline, with zones absent."""

from __future__ import annotations

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.resolve import resolves
from inspect_app.journal.store import one, value
from inspect_app.journal.writing import Writing
from inspect_app.trade import vin
from inspect_app.words import gettext as _


@resolves("unit_arrived")
def unit_arrived(w: Writing, event: Incoming) -> Resolved:
    """Check the chassis number, note the last six, give the unit the plant's current outline."""
    w.hold(event, "unit", "none")
    body = event.body
    try:
        chassis = vin.normalise(body.chassis)
    except vin.VinError as error:
        raise Refusal("chassis", str(error)) from None
    same = one(
        w.db,
        "SELECT id FROM units WHERE (plant = ? AND chassis = ? AND build_number = ?) OR id = ?",
        (body.plant, chassis, body.build_number, event.unit),
    )
    if same is not None:
        raise Refusal(
            "known_unit", _("Unit %(chassis)s of %(plant)s is known already.", chassis=chassis, plant=body.plant), 409
        )
    outline = value(w.db, "SELECT hash FROM outlines WHERE current = 1")
    return Resolved(
        values={
            "chassis": chassis,
            "last_six": vin.last_six(chassis),
            "check_digit": vin.check_digit_holds(chassis),
            "outline": outline,
        }
    )


@resolves("unit_corrected")
def unit_corrected(w: Writing, event: Incoming) -> Resolved:
    """Change what was typed in wrongly; the chassis number itself never changes."""
    w.in_time(event)
    return Resolved(values={})


@resolves("outline_set")
def outline_set(w: Writing, event: Incoming) -> Resolved:
    """Draw the unit on another outline, as long as nothing is marked on it."""
    w.in_time(event)
    w.versions.outline(w.db, event.body.outline)
    if w.counted(event)["markers"]:
        raise Refusal("marked", _("The unit carries markers on its present outline, so the outline stays."), 409)
    return Resolved()


@resolves("zones_absent")
def zones_absent(w: Writing, event: Incoming) -> Resolved:
    """Note zones as not fitted, off the van, or present again."""
    unit = w.in_time(event)
    outline = w.versions.outline(w.db, unit["outline"])
    for zone in event.body.zones:
        zone_of(outline, zone)
    return Resolved()


def zone_of(outline, key: str):  # type: ignore[no-untyped-def]
    """Find a zone of an outline, or refuse by name."""
    try:
        return outline.zone(key)
    except KeyError:
        raise Refusal(
            "no_zone", _("The outline of this unit has no zone '%(key)s'; reload the page.", key=key)
        ) from None
