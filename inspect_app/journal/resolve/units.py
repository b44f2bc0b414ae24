"""Units arriving, corrected, on their way along the line, drawn on another outline, with zones absent."""

from __future__ import annotations

from inspect_app.journal.coverage import absent
from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.queries import outlines, parts
from inspect_app.journal.resolve import resolves
from inspect_app.journal.store import one
from inspect_app.journal.tickets import SLACK_MS
from inspect_app.journal.writing import Writing
from inspect_app.trade import vin
from inspect_app.trade.build_options import absent_zones
from inspect_app.trade.stations import furthest
from inspect_app.words import gettext as _
from inspect_app.words.listed import all_of


@resolves("unit_arrived")
def unit_arrived(w: Writing, event: Incoming) -> Resolved:
    """Check the chassis number, note the last six, give the unit its model's outline, or the plant's current one."""
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
    drawn = outlines.for_model(w.db, body.make, body.model)
    zones = {zone.id for zone in w.versions.outline(w.db, drawn).zones}
    gone = absent_zones(w.catalogue(None), body.options) & zones
    return Resolved(
        values={
            "chassis": chassis,
            "last_six": vin.last_six(chassis),
            "check_digit": vin.check_digit_holds(chassis),
            "outline": drawn,
            "absent": dict.fromkeys(sorted(gone), "not_fitted"),
        }
    )


@resolves("unit_corrected")
def unit_corrected(w: Writing, event: Incoming) -> Resolved:
    """Change what was typed in wrongly; the chassis number itself never changes."""
    w.in_time(event)
    return Resolved(values={})


@resolves("outline_set")
def outline_set(w: Writing, event: Incoming) -> Resolved:
    """Draw the unit on another outline, as long as nothing is marked on it and no walk has begun.

    What was noted as not fitted or off the van stays so where the other outline has the zone.
    """
    w.in_time(event)
    outline = w.versions.outline(w.db, event.body.outline)
    unit = w.counted(event)
    if unit["markers"]:
        raise Refusal("marked", _("The unit carries markers on its present outline, so the outline stays."), 409)
    if one(w.db, "SELECT 1 FROM walks WHERE unit = ?", (event.unit,)):
        raise Refusal("walked", _("A walk has begun on the unit's present outline, so the outline stays."), 409)
    if outlines.retired(w.db, outline.hash):
        raise Refusal("retired", _("This outline is retired; bring it back first, or choose another."), 409)
    known = {zone.id for zone in outline.zones}
    return Resolved(values={"absent": {zone: why for zone, why in absent(unit).items() if zone in known}})


@resolves("station_passed")
def station_passed(w: Writing, event: Incoming) -> Resolved:
    """Note a station as passed, and which is the furthest now; the walk that was done there is one of this unit."""
    unit = w.in_time(event)
    catalogue, key = w.catalogue(None), event.body.station
    if key not in catalogue.stations or catalogue.stations[key].retired:
        raise Refusal("no_station", _("'%(key)s' is not a station of this plant; reload the page.", key=key))
    if one(w.db, "SELECT 1 FROM stations_passed WHERE unit = ? AND station = ?", (event.unit, key)):
        raise Refusal("passed", _("The unit has passed this station already; choose the one it has passed now."), 409)
    if event.body.walk is not None:
        w.walk(event)
    return Resolved(values={"furthest": furthest(catalogue, key, unit["station"])})


@resolves("part_painted")
def part_painted(w: Writing, event: Incoming) -> Resolved:
    """Note the booth, the sprayer, the mix and the times of a part of this unit."""
    unit, body = w.in_time(event), event.body
    if body.part not in {part.id for part in w.versions.outline(w.db, unit["outline"]).parts}:
        raise Refusal("no_part", _("The outline of this unit has no part '%(key)s'; reload the page.", key=body.part))
    if body.sprayer is not None and not one(w.db, "SELECT 1 FROM people WHERE id = ?", (body.sprayer,)):
        raise Refusal("no_person", _("There is no such person; choose the sprayer from the list."))
    if body.at > w.now + SLACK_MS:
        raise Refusal("future", _("'Painted' lies in the future; write when the part came out of the booth."))
    if body.flame_at is not None and body.flame_at > body.at:
        raise Refusal(
            "flame", _("'Flame-treated' comes after 'Painted'; the flame comes first, so correct one of them.")
        )
    return Resolved()


@resolves("zones_absent")
def zones_absent(w: Writing, event: Incoming) -> Resolved:
    """Note zones as not fitted, off the van, or present again."""
    unit = w.in_time(event)
    outline = w.versions.outline(w.db, unit["outline"])
    for zone in event.body.zones:
        zone_of(outline, zone)
    held = parts.zones_off(w.db, event.unit) & set(event.body.zones) if event.body.why == "present" else set()
    if held:
        names = all_of(_(outline.zone(zone).label) for zone in sorted(held))
        raise Refusal(
            "on_the_rack", _("%(zones)s: its part is off the van; refit it there, with its label.", zones=names), 409
        )
    return Resolved()


def zone_of(outline, key: str):  # type: ignore[no-untyped-def]
    """Find a zone of an outline, or refuse by name."""
    try:
        return outline.zone(key)
    except KeyError:
        raise Refusal(
            "no_zone", _("The outline of this unit has no zone '%(key)s'; reload the page.", key=key)
        ) from None
