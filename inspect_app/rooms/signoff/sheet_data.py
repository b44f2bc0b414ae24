"""A unit as it was signed, said in the words of its sheet."""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from inspect_app.journal import coverage
from inspect_app.journal.queries import people, setup, sheets
from inspect_app.journal.queries.sheets import AsSigned
from inspect_app.photos import Store
from inspect_app.rooms.shown import opening
from inspect_app.rooms.signoff.gate_words import TYPED, GateWords
from inspect_app.rooms.signoff.marker_words import MarkerWords
from inspect_app.rooms.signoff.override_words import OverrideWords
from inspect_app.rooms.signoff.photo_strokes import strokes
from inspect_app.sheet import data as said
from inspect_app.sheet.times import Clock
from inspect_app.trade import catalogue as trade_catalogue
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.trade.reading_taken import WHATS, told_words
from inspect_app.words import gettext as _


class Journal(Protocol):
    """As much of a journal as a sheet is read from."""

    def read(self) -> sqlite3.Connection:
        """A reading connection."""

    def catalogue(self, key: str | None = None) -> Catalogue:
        """A catalogue version; None is the current one."""

    def outline(self, key: str) -> Outline:
        """An outline version."""


def read(journal: Journal, photos: Store, unit: str, revision: str) -> said.SheetData | None:
    """Read all that the sheet of this revision says, as of its signing; None when it was never signed."""
    found = sheets.as_signed(journal.read(), unit, revision)
    return None if found is None else Telling(journal, photos, found).whole()


@dataclass
class Telling:
    """Turns the rows of one signing into the plain values of a sheet."""

    journal: Journal
    photos: Store
    found: AsSigned

    def whole(self) -> said.SheetData:
        """Everything on the sheet."""
        found, unit = self.found, self.found.unit
        return said.SheetData(
            unit=self.unit(),
            revision=found.sheet["revision"],
            head=found.sheet["head"],
            outline=self.outline.to_sheet(),
            timezone=self.timezone,
            catalogue_version=found.catalogue[:12],
            outline_version=unit["outline"][:12],
            builtin_limits=found.catalogue == trade_catalogue.builtin().hash,
            figures=self.figures(),
            markers=tuple(self.markers()),
            concessions=tuple(self.concessions()),
            overrides=tuple(OverrideWords(telling=self).overrides()),
            walks=tuple(self.walks()),
            looks=tuple(self.looks()),
            unlooked=tuple(self.unlooked()),
            gates=tuple(GateWords(telling=self).gates()),
            readings=tuple(self.readings()),
            questions=tuple(self.questions()),
            signatures=(self.signature(),),
            earlier=tuple(self.earlier()),
        )

    @cached_property
    def timezone(self) -> str:
        """The plant's time zone."""
        return setup.timezone(self.journal.read())

    @cached_property
    def catalogue(self) -> Catalogue:
        """The catalogue that held at the signing."""
        return self.journal.catalogue(self.found.catalogue)

    @cached_property
    def outline(self) -> Outline:
        """The unit's outline."""
        return self.journal.outline(self.found.unit["outline"])

    @cached_property
    def names(self) -> dict[str, str]:
        """Names of people by id."""
        return people.names(self.journal.read())

    @cached_property
    def tags(self) -> dict[str, str]:
        """Tags by marker."""
        return {row["id"]: row["tag"] for row in self.found.markers}

    def name(self, person: str | None) -> str:
        """A person's name; nothing for nobody, a word for one who was erased."""
        return "" if person is None else self.names.get(person, _("name forgotten"))

    def unit(self) -> said.Unit:
        """The van."""
        row = self.found.unit
        return said.Unit(
            plant=row["plant"],
            chassis_number=row["chassis"],
            last_six=row["last_six"],
            build_number=row["build_number"],
            make=row["make"],
            model=row["model"],
            colour=row["colour"],
            colour_hex=row["colour_hex"],
            finish=row["finish"],
            options=", ".join(json.loads(row["options"])),
            arrived=row["arrived_at"],
            due=row["due"],
        )

    def figures(self) -> tuple[tuple[str, int], ...]:
        """Counts of the cover beside those by state."""
        found = self.found
        told = [
            (_("found after signing"), sum(row["escape"] for row in found.markers)),
            (_("sent back"), sum(row["returns"] for row in found.markers)),
            (_("minutes of rework"), sum(row["minutes"] for row in found.work)),
        ]
        return tuple((words, count) for words, count in told if count)

    def markers(self) -> Iterator[said.Marker]:
        """Every marker with its work and pictures."""
        words = MarkerWords(telling=self)
        work, shots = defaultdict(list), self.shots()
        for row in self.found.work:
            work[row["marker"]].append(words.work(row))
        for row in self.found.markers:
            yield words.marker(row, tuple(work[row["id"]]), tuple(shots[row["id"]]))

    def shots(self) -> dict[str, list[said.Photo]]:
        """Photos by marker; one of a job belongs to each marker of that job, one of a concession to its marker."""
        of_job, conceded = defaultdict(list), {row["id"]: row["marker"] for row in self.found.concessions}
        for row in self.found.job_markers:
            of_job[row["job"]].append(row["marker"])
        shots = defaultdict(list)
        for row in self.found.photos:
            marker = row["marker"] or conceded.get(row["concession"])
            for one in [marker] if marker else of_job[row["job"]]:
                shots[one].append(self.photo(row))
        return shots

    def photo(self, row: sqlite3.Row) -> said.Photo:
        """One picture, with its state of now."""
        now = self.found.photo_states[row["id"]]
        stored = now["state"] == "stored" and self.photos.has(now["sha"])
        path = str(self.photos.path(now["sha"], "600")) if stored else None
        caption = f"{Clock(self.timezone).at(row['at'])} · {self.name(row['person'])}"
        role = row["role"] if row["role"] != "context" else "found"
        drawn = strokes(json.loads(now["marks"]))
        return said.Photo(role=role, state=now["state"], path=path, caption=caption, marks=drawn)

    def concessions(self) -> Iterator[said.Concession]:
        """Leaves to release a flaw as it is, asked, agreed or refused."""
        for row in self.found.concessions:
            yield said.Concession(
                tag=self.tags.get(row["marker"], ""),
                reason=row["reason"] or "",
                state=row["state"],
                asked_by=self.name(row["asked_by"]),
                asked_at=row["asked_at"],
                approvers=tuple(self.name(one["person"]) for one in json.loads(row["approvers"])),
                decided_at=row["decided_at"],
                customer=row["customer"] or "",
                channel=row["channel"] or "",
            )

    def walks(self) -> Iterator[said.Walk]:
        """Passes round the van."""
        for row in self.found.walks:
            yield said.Walk(
                key=row["id"],
                label=_(self.catalogue.walks[row["purpose"]].label),
                person=self.name(row["person"]),
                started=row["started_at"],
                finished=row["finished_at"],
            )

    def looks(self) -> Iterator[said.Look]:
        """Zones looked at, lap by lap."""
        for row in self.found.looks:
            zone = self.outline.zone(row["zone"])
            yield said.Look(
                walk=row["walk"],
                lap=_(self.catalogue.laps[row["lap"]].label),
                view=zone.view,
                zone=_(zone.label),
                person=self.name(row["person"]),
                at=row["at"],
                voided=bool(row["voided"]),
            )

    def unlooked(self) -> Iterator[said.Unlooked]:
        """Zones that were not on the van; any other must have a look, or the unit could not have been signed."""
        why = {"not_fitted": _("not fitted"), "off": _("off the van")}
        for zone, reason in coverage.absent(self.found.unit).items():
            yield said.Unlooked(zone=_(self.outline.zone(zone).label), why=why[reason])

    def readings(self) -> Iterator[said.Reading]:
        """What was read at the van, the oldest first."""
        for row in self.found.readings:
            yield said.Reading(
                what=opening(_(WHATS[row["what"]])),
                place=row["label"],
                told=told_words(row["what"], json.loads(row["told"])),
                verdict=row["text"],
                state=row["outcome"],
                person=self.name(row["person"]),
                at=row["at"],
            )

    def questions(self) -> Iterator[said.Question]:
        """What had to be asked, and the answers."""
        for row in self.found.questions:
            yield said.Question(
                text=row["text"],
                tag=self.tags.get(row["marker"], ""),
                answer=row["answer"] or "",
                answered_by=self.name(row["answered_by"]),
                at=row["answered_at"],
            )

    def signature(self) -> said.Signature:
        """The one signature of a sheet."""
        strokes = tuple(tuple((float(x), float(y)) for x, y in stroke) for stroke in self.found.strokes)
        role = _("inspector, typed name") if self.found.note == TYPED else _("inspector")
        row = self.found.sheet
        return said.Signature(person=self.name(row["signed_by"]), role=role, at=row["signed_at"], strokes=strokes)

    def earlier(self) -> Iterator[said.Revision]:
        """The sheets this one follows."""
        for number, row in enumerate(self.found.earlier):
            because = self.found.reopened[number] if number < len(self.found.reopened) else ""
            yield said.Revision(
                letter=row["revision"],
                issued=row["issued_at"] or row["signed_at"],
                signed_by=self.name(row["signed_by"]),
                reopened_because=because,
                sha=row["a4"] or "",
            )
