"""The history of a unit: everything that happened to it, in sentences, day by day, the newest last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Any

from flask import render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import SERVER, Refusal
from inspect_app.journal.queries import changes, history, people
from inspect_app.rooms.house import journal, reader, ticket, unit_or_404
from inspect_app.rooms.json_in import as_sent
from inspect_app.rooms.shown import day, when, zone
from inspect_app.rooms.units.door import room
from inspect_app.rooms.units.history_values import Known, Values
from inspect_app.rooms.units.history_words import LABELS, SENTENCES, SUBJECTS, UNREADABLE, way
from inspect_app.words import gettext as _
from inspect_app.words import written

PAGE = 100


@dataclass(frozen=True, kw_only=True)
class Told:
    """One event in words. `outcome`: applied, flagged or refused; `why`: the reason of the last two."""

    id: str
    at: int
    clock: str
    sentence: str
    note: str
    source: str
    late: str
    outcome: str
    why: str
    question: Any
    photo: str


@room.get("/units/<key>/history")
def told(key: str) -> ResponseReturnValue:
    """Tell everything that happened to one unit, page by page."""
    unit, show = unit_or_404(key), request.args.get("show", "all")
    if show not in LABELS:
        raise Refusal(
            "no_list", _("There is no list '%(show)s' of a unit's history; choose one above it.", show=show[:20]), 404
        )
    blind = changes.blind_walk(reader(), key, ticket().person)
    days: Sequence[tuple[str, list[Told]]] = ()
    number = last = 1
    if not blind:  # whoever looks for a second time must not learn what the first has found
        rows, number, last = history.page(
            reader(),
            key,
            types=SUBJECTS.get(show, ()),
            asked=show == "asked",
            number=request.args.get("page", type=int),
            size=PAGE,
        )
        days = by_day(unit, rows)
    return render_template(
        "units/history.html", unit=unit, days=days, show=show, labels=LABELS, blind=blind, number=number, last=last
    )


def by_day(unit: Any, rows: Sequence[Any]) -> list[tuple[str, list[Told]]]:
    """Put rows of the history into sentences, under the day each was done, in their order."""
    db = reader()
    known = Known(
        things=history.things(db, unit["id"]),
        names=people.names(db),
        letters={row["id"]: row["letters"] for row in people.tablets(db)},
        catalogue=journal().catalogue(),
        outline=journal().outline(unit["outline"]),
        day=day,
        moment=when,
    )
    found = groupby((_told(row, known) for row in rows), key=lambda one: written.day(_then(one.at)))
    return [(named, list(lines)) for named, lines in found]


def _told(row: Any, known: Known) -> Told:
    body, resolved, private = (as_sent(row[name]) for name in ("body", "resolved", "content"))
    if row["outcome"] == "refused" and isinstance(body.get("body"), dict):  # the whole entry was kept
        private, body = body.get("private") or {}, body["body"]
    who = known.names.get(row["person"] or "", _("Somebody"))
    question = known.things.questions.get(row["id"]) if row["outcome"] == "flagged" else None
    note = private.get("note") or private.get("reason") if isinstance(private, dict) else None
    return Told(
        id=row["id"],
        at=row["at"],
        clock=written.clock(_then(row["at"])),
        sentence=sentence(row["type"], who, body, resolved, private, known),
        note=note if isinstance(note, str) else "",
        source=_source(row, known),
        late=_late(row),
        outcome=row["outcome"],
        why=row["reason"] or "",
        question=question,
        photo=_photo(row["type"], body, known),
    )


def _late(row: Any) -> str:
    """When the server had it, where that was more than an hour later; its hour alone on that same day."""
    if row["received_at"] - row["at"] <= 3_600_000:
        return ""
    made, came = _then(row["at"]), _then(row["received_at"])
    return written.clock(came) if came.date() == made.date() else written.moment(came)


def sentence(event: str, who: str, body: Any, resolved: Any, private: Any, known: Known) -> str:
    """Say one event. What is not of its shape, being refused for it, is said to be unreadable."""
    values = Values(who, body, resolved, private if isinstance(private, dict) else {}, known)
    text = SENTENCES.get(way(event, body, resolved if isinstance(resolved, dict) else {}))
    try:
        return _(text or UNREADABLE) % values
    except (AttributeError, KeyError, TypeError, ValueError):
        return _(UNREADABLE) % values


def _source(row: Any, known: Known) -> str:
    if row["tablet"] == SERVER or row["person"] == SERVER:
        return _("by the server")
    letters = known.letters.get(row["tablet"] or "")
    return _("tablet %(letters)s", letters=letters) if letters else _("tablet not known")


def _photo(event: str, body: Any, known: Known) -> str:
    photo = known.things.photos.get(str(body.get("photo"))) if event == "photo_added" else None
    return photo["id"] if photo is not None and photo["state"] == "stored" else ""


def _then(ms: int) -> datetime:
    return datetime.fromtimestamp(max(0, min(ms, 4_102_444_799_999)) / 1000, zone())
