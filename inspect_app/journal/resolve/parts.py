"""Parts that leave the van: taken off, through their stages, counted for clips, refitted; each time the label is read."""

from __future__ import annotations

import json
import sqlite3
from typing import Any

from inspect_app.journal.coverage import absent
from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.labels import hold_label, mixed_up_with
from inspect_app.journal.queries import parts as query
from inspect_app.journal.queries import setup
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.jobs import voids
from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.trade import part_stages as stages
from inspect_app.words import gettext as _
from inspect_app.words.listed import all_of
from inspect_app.words.spans import minutes_words

REFIT = "strip_refinish"  # the method whose work a refit undoes the looks of, where the plant's catalogue has it


@resolves("part_off")
def part_off(w: Writing, event: Incoming) -> Resolved:
    """Take a part off: find it on the outline, see what it is made of, note its zones as off the van."""
    unit, body = w.in_time(event), event.body
    outline = w.versions.outline(w.db, unit["outline"])
    part = next((found for found in outline.parts if found.id == body.of), None)
    if part is None:
        raise Refusal("no_part", _("The outline of this unit has no part '%(key)s'; reload the page.", key=body.of))
    if one(w.db, "SELECT 1 FROM parts WHERE id = ?", (body.part,)):
        raise Refusal("known_part", _("This part has come off already; the rack shows where it is."), 409)
    w.hold(event, "part", "none")
    piece = _(part.label)
    if query.tracked(w.db, event.unit, part.id):
        raise Refusal(
            "off_already", _("%(piece)s: it is off this van already; the rack shows where it is.", piece=piece)
        )
    gone = absent(unit)
    zones = [zone for zone in part.zones if gone.get(zone) != "not_fitted"]
    if not zones:
        raise Refusal("not_fitted", _("%(piece)s: it is not fitted on this van, so it cannot come off.", piece=piece))
    material = body.material or stages.OUTSIDE.get(outline.zone(zones[0]).material)
    if material is None:
        raise Refusal("material", _("%(piece)s: say what it is made of; the outline does not tell.", piece=piece))
    found = {"piece": piece, "label": part.label, "material": material, "zones": zones}
    return Resolved(values={**found, "side": stages.side(part.id), "done": {stages.FIRST: event.at}})


@resolves("part_stage")
def part_stage(w: Writing, event: Incoming) -> Resolved:
    """Note a stage as done: the label is this part's, the stage is next (or done again), nothing keeps it, nothing has faded."""
    unit, body, book = w.in_time(event), event.body, w.catalogue(None).rule_book.part_stages
    row = _part(w, event)
    known = body.stage in book.stages and body.stage not in (stages.FIRST, stages.LAST)
    state = w.hold(event, "part", row["state"], variant="painted" if body.stage == stages.PAINTED else None)
    _as_seen(w, row, body.since)
    hold_label(w, event, row, unit)
    why = stages.fault(book, row["material"], row["stage"], body.stage) if known else _("Choose the stage the part is through now.")  # fmt: skip
    if why:
        raise Refusal("stage", why)
    done = json.loads(row["done"])
    if stages.after(book, row["material"], row["stage"]) == body.stage:
        _wait(w, row, body.stage, event.at)
        _not_faded(w, row, event.at)
    if body.stage == stages.PAINTED:
        _painted_how(w, event)
    now_done = stages.done_after(book, row["material"], done, body.stage, event.at)
    values: dict[str, Any] = {**_named(row), "done": now_done, "state": state, "of": row["part"]}
    return Resolved(values={**values, "flame_at": now_done.get("flamed")})


@resolves("part_refitted")
def part_refitted(w: Writing, event: Incoming) -> Resolved:
    """Put a part back on its van: painted, hardened, its broken clips replaced, of one mix with its pair unless someone says why."""
    unit = w.in_time(event)
    row = _part(w, event)
    w.hold(event, "part", row["state"])
    hold_label(w, event, row, unit)
    _wait(w, row, stages.LAST, event.at)
    if row["clips_broken"] > row["clips_replaced"]:
        raise Refusal(
            "clips",
            _(
                "Clips of this part: %(broken)s broken, %(replaced)s new; fit new ones for all that broke and count them first.",
                broken=row["clips_broken"],
                replaced=row["clips_replaced"],
            ),
        )
    _one_batch(w, event, row, unit)
    return Resolved(values={**_named(row), **_back_on(w, event, row, unit)})


@resolves("part_put_back")
def part_put_back(w: Writing, event: Incoming) -> Resolved:
    """Put a part back as it came off, nothing done to it, with the reason."""
    unit = w.in_time(event)
    row = _part(w, event)
    w.hold(event, "part", row["state"])
    return Resolved(values={**_named(row), **_back_on(w, event, row, unit)})


@resolves("mixup_stopped")
def mixup_stopped(w: Writing, event: Incoming) -> Resolved:
    """Count a mix-up: the label that was read is that of another van of this plant."""
    unit, row = w.in_time(event), _part(w, event)
    w.hold(event, "part", row["state"])
    read, vans = mixed_up_with(w, event, row, unit)
    if not vans:
        raise Refusal("matches", _("Nothing was mixed up: no other van is named by this label."), 409)
    return Resolved(values={**_named(row), "read": read, "vans": vans})


@resolves("clips_counted")
def clips_counted(w: Writing, event: Incoming) -> Resolved:
    """Count the clips of a part and what the new ones cost, at the price of now."""
    w.in_time(event)
    row, body = _part(w, event), event.body
    w.hold(event, "part", row["state"])
    if body.broken > body.out:
        raise Refusal(
            "clips",
            _(
                "%(broken)s clips cannot have broken where %(out)s came off; count them again.",
                broken=body.broken,
                out=body.out,
            ),
        )
    return Resolved(values={**_named(row), "cost": body.replaced * setup.clip_cost(w.db)})


# ------------------------------------------------------------------ what all of them ask


def _part(w: Writing, event: Incoming) -> sqlite3.Row:
    row = one(w.db, "SELECT * FROM parts WHERE id = ?", (event.body.part,))
    if row is None or row["unit"] != event.unit:
        raise Refusal("no_part", _("This server knows no such part of this van; find it on the rack."), 404)
    return row


def _named(row: sqlite3.Row) -> dict[str, Any]:
    return {"piece": _(row["label"])}


def _as_seen(w: Writing, row: sqlite3.Row, since: str) -> None:
    if row["stage"] != since:
        said = _(w.catalogue(None).rule_book.part_stages.stages[row["stage"]].label)
        raise Refusal("moved", _("This part is %(stage)s by now; look again what comes next.", stage=said), 409)


def _wait(w: Writing, row: sqlite3.Row, wanted: str, now: int) -> None:
    book, done = w.catalogue(None).rule_book.part_stages, json.loads(row["done"])
    kept, free = stages.keeps(book, done, wanted, now), stages.free_at(book, done, wanted)
    if kept is not None and free is not None:
        left = -(-(free - now) // stages.MINUTE)
        raise Refusal(
            "wait",
            _(
                "Not yet: %(why)s. It can be %(stage)s in %(left)s.",
                why=_(kept.text),
                stage=_(book.stages[wanted].label),
                left=minutes_words(left),
            ),
        )


def _not_faded(w: Writing, row: sqlite3.Row, now: int) -> None:
    book = w.catalogue(None).rule_book.part_stages
    found = stages.fades(book, row["material"], json.loads(row["done"]), row["stage"])
    if found is not None and now > found[1]:
        raise Refusal(
            "window",
            _(
                "More than %(limit)s have passed since it was %(stage)s, and %(why)s; do that again first.",
                limit=minutes_words(found[0].minutes),
                stage=_(book.stages[found[0].since].label),
                why=_(found[0].text),
            ),
        )


def _painted_how(w: Writing, event: Incoming) -> None:
    body = event.body
    if not body.booth:
        raise Refusal("booth", _("'Booth' is missing; write its name or number."))
    if not body.mix:
        raise Refusal(
            "mix", _("'Mix' is missing; write the batch number on the mixing label, for pairs are checked by it.")
        )
    if body.sprayer is not None and not one(w.db, "SELECT 1 FROM people WHERE id = ?", (body.sprayer,)):
        raise Refusal("no_person", _("There is no such person; choose the sprayer from the list."))


def _one_batch(w: Writing, event: Incoming, row: sqlite3.Row, unit: sqlite3.Row) -> None:
    """Hold the mix of a part against those of its counterpart and of the parts it meets."""
    neighbours = w.versions.outline(w.db, unit["outline"]).part(row["part"]).neighbours
    painted = {other["part"]: other for other in query.painted_of(w.db, event.unit)}
    own = stages.belong_together(row["part"], neighbours, painted)
    odd = [painted[key] for key in own if query.batch(painted[key]["mix"]) != query.batch(row["mix"])]
    if odd and not event.body.reason:
        others = all_of(_("%(piece)s (mix %(mix)s)", piece=_(one["label"]), mix=one["mix"]) for one in odd)
        raise Refusal(
            "batch",
            _(
                "This part is of mix %(mix)s, and what lies beside or across from it is not: %(others)s. "
                "Paint them from one mix, or say why they may differ.",
                mix=row["mix"],
                others=others,
            ),
        )


def _back_on(w: Writing, event: Incoming, row: sqlite3.Row, unit: sqlite3.Row) -> dict[str, Any]:
    """Zones that are on the van again, and the looks that putting them there undoes."""
    gone, zones = absent(unit), json.loads(row["zones"])
    back = [zone for zone in zones if gone.get(zone) == "off"]
    method = w.catalogue(None).methods.get(REFIT)
    outline = w.versions.outline(w.db, unit["outline"])
    return {"zones": back, "voids": voids(outline, method, row["part"], zones) if method else []}
