"""Bringing an outbox file in: each entry goes the way of a sync, under its author's ticket, and is told in words."""

from __future__ import annotations

import base64
import binascii
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from inspect_app.journal import Answer
from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import people, tablets
from inspect_app.rooms.house import House
from inspect_app.rooms.setup.entry_words import Entry, Teller
from inspect_app.rooms.setup.outbox_file import Parcel, Photo
from inspect_app.rooms.sync.pictures import take
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _

AT_ONCE = 200
# What a manager may take all the same, with a reason; told to the manager, not to the tablet.
ON_A_WORD = {
    "too_late": N_("It was done more than 14 days ago."),
    "shut_out": N_("It was done on a tablet that was shut out."),
    "has_left": N_("It was done after its author had left."),
}
TAKEN = frozenset({"applied", "flagged"})
COUNTED = {
    "applied": N_("%(n)s applied"),
    "flagged": N_("%(n)s flagged"),
    "there": N_("%(n)s here already"),
    "refused": N_("%(n)s refused"),
}


@dataclass(frozen=True, kw_only=True)
class Line:
    """What became of one entry: applied, flagged, refused, there (was here already), word (waits for a manager's)."""

    id: str
    entry: Entry
    outcome: str
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Report:
    """What became of a file. `parcel` is kept while entries wait for a manager's word."""

    tablet: str
    letters: str
    lines: tuple[Line, ...]
    photos: tuple[Line, ...]
    parcel: Parcel | None

    def count(self, outcome: str) -> int:
        """How many entries had this outcome."""
        return sum(line.outcome == outcome for line in self.lines)

    @property
    def sentence(self) -> str:
        """What became of the entries, counted."""
        told = [_(words, n=self.count(key)) for key, words in COUNTED.items() if self.count(key)]
        wait = self.count("word")
        told += [ngettext("%(n)s waits for your word", "%(n)s wait for your word", wait)] if wait else []
        return f"{', '.join(told) or _('Photos only')}."

    @property
    def waiting(self) -> list[Line]:
        """Entries that are taken only on a manager's word."""
        return [line for line in self.lines if line.outcome == "word"]


def bring(house: House, ticket: Any, parcel: Parcel) -> Report:
    """Take in what a file holds and what needs no word of a manager."""
    here = tablets.answered(house.journal.read(), _ids(parcel.events))
    answers = _sent(house, parcel, parcel.events, ())
    lines = tuple(_lines(house, parcel.events, answers, parcel.tokens, here))
    new = [line.id for line in lines if line.outcome in TAKEN]
    if new:
        _record(house, ticket, parcel, new, (), None)
    return _report(house, parcel, lines)


def vouch(house: House, ticket: Any, report: Report, reason: str) -> Report:
    """Take what waited for a manager's word, on this one's and for this reason.

    The word is on record before anything is taken on it. Raises Refusal when there is no reason, or nothing waits.
    """
    parcel = report.parcel
    wanted = {line.id for line in report.waiting}
    if parcel is None or not wanted:
        raise Refusal(
            "no_waiting", _("Nothing of this file waits any more; bring it in again to see where it stands."), 404
        )
    events = [event for event in parcel.events if isinstance(event, dict) and event.get("id") in wanted]
    here = tablets.answered(house.journal.read(), wanted)
    _record(house, ticket, parcel, sorted(wanted), sorted(wanted), reason)
    answers = _sent(house, parcel, events, frozenset(wanted))
    told = {line.id: line for line in _lines(house, events, answers, parcel.tokens, here)}
    return _report(house, parcel, tuple(told.get(line.id, line) for line in report.lines))


def _report(house: House, parcel: Parcel, lines: tuple[Line, ...]) -> Report:
    tablet = people.tablet(house.journal.read(), parcel.tablet)
    done = Report(
        tablet=parcel.tablet if tablet else "", letters=tablet["letters"] if tablet else "", lines=lines,
        photos=tuple(_photos(house, parcel, lines)), parcel=parcel,
    )  # fmt: skip
    return done if done.waiting else replace(done, parcel=None)


def _record(
    house: House, ticket: Any, parcel: Parcel, events: Sequence[str], vouched: Sequence[str], reason: str | None
) -> None:
    body = {"tablet": parcel.tablet, "file": parcel.sha, "events": list(events), "vouched": list(vouched)}
    house.journal.record(ticket, PLANT, "outbox_brought", body, private={"reason": reason} if reason else None)


def _sent(house: House, parcel: Parcel, events: Sequence[Any], vouched: Any) -> list[Answer]:
    answers: list[Answer] = []
    for start in range(0, len(events), AT_ONCE):
        some = events[start : start + AT_ONCE]
        answers += house.journal.sync(some, parcel.tokens, tablet=parcel.tablet, vouched=vouched)
    return answers


def _ids(events: Sequence[Any]) -> list[str]:
    return [event["id"] for event in events if isinstance(event, dict) and isinstance(event.get("id"), str)]


def _lines(
    house: House, events: Sequence[Any], answers: Sequence[Answer], tokens: Sequence[str], here: set[str]
) -> list[Line]:
    teller, authors = Teller(), house.journal.authors(tokens)
    found = []
    for event, answer in zip(events, answers, strict=True):
        sent = event if isinstance(event, dict) else {}
        ticket = sent.get("ticket")
        entry = teller.sent(sent, person=authors.get(ticket) if isinstance(ticket, str) else None)
        reason = _(ON_A_WORD[answer.code]) if answer.code in ON_A_WORD else answer.reason or ""
        found.append(Line(id=answer.id, entry=entry, outcome=_outcome(answer, here), reason=reason))
    return found


def _outcome(answer: Answer, here: set[str]) -> str:
    if answer.outcome == "refused":
        return "word" if answer.code in ON_A_WORD else "refused"
    if answer.outcome == "error":
        return "refused"
    return "there" if answer.id in here else answer.outcome


def _photos(house: House, parcel: Parcel, lines: Sequence[Line]) -> Iterator[Line]:
    """Store each photo, told by the entry that announced it."""
    entries = {line.id: line.entry for line in lines}
    for photo in parcel.photos:
        yield _photo(house, photo, entries.get(photo.event, Entry(title=_("Photo"))))


def _photo(house: House, photo: Photo, entry: Entry) -> Line:
    try:
        data = base64.b64decode(photo.data, validate=True)
        before = house.journal.newest()
        take(house, photo.photo, io.BytesIO(data), len(data))
        outcome = "applied" if house.journal.newest() > before else "there"
    except binascii.Error:
        return Line(
            id=photo.photo, entry=entry, outcome="refused", reason=_("Its bytes are broken; save the file anew.")
        )
    except Refusal as refusal:
        return Line(id=photo.photo, entry=entry, outcome="refused", reason=refusal.reason)
    return Line(id=photo.photo, entry=entry, outcome=outcome)
