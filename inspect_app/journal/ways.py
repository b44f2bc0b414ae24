"""Which methods are open for the markers of a unit, from the rows of now: what they are, and what was done there."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from inspect_app.journal.events import Incoming, Refusal
from inspect_app.journal.writing import Writing
from inspect_app.trade.budget import FilmReading, Left, Place, Removal, removal_of, spot_at
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.trade.selectors import Facts, is_offered
from inspect_app.trade.ways import PAINTS, Ways, ways
from inspect_app.words import gettext as _
from inspect_app.words import midway

Row = Mapping[str, Any] | sqlite3.Row
DONE = (
    "SELECT k.at, k.method, k.department, k.film, m.view, m.x, m.y, m.spread FROM work k JOIN markers m ON m.id = k.marker"
    " WHERE k.unit = ? AND m.part = ? ORDER BY k.at, k.n, k.id"
)
READ = (
    "SELECT id, told, for_marker, person, at FROM readings WHERE unit = ? AND part = ? AND what = 'film' AND told ->> 'film' IS NOT NULL"
    " AND coalesce(told ->> 'where', 'body') = 'body' ORDER BY at DESC, n DESC"
)
BLEND, WHOLE = "blend_neighbour", "refinish"
SEEN = ("depth", "on_edge", "nail_catches", "cured", "body_repaired", "driver_view", "traced")


class Ground:
    """What the methods of one unit's markers depend on; each part is read once."""

    def __init__(self, db: sqlite3.Connection, unit: str, catalogue: Catalogue, outline: Outline):
        self._db, self._unit, self.catalogue = db, unit, catalogue
        self._outline = outline
        self._done: dict[str, list[tuple[int, Removal]]] = {}
        self._read: dict[str, list[sqlite3.Row]] = {}

    def ways(self, marker: Row) -> Ways | None:
        """Return the ways to put a marker right; None for a kind that the rules do not know: a plant may add its own."""
        if marker["kind"] not in self.catalogue.kinds or not is_offered(
            marker["kind"], self.catalogue.rule_book.selectors
        ):
            return None
        part = marker["part"]
        return ways(
            self.catalogue, self._facts(marker), here=place_of(marker), removals=[done for _at, done in self._work(part)],
            reading=self._reading(marker),
        )  # fmt: skip

    def bars(self, marker: Row, method: str, *, chosen: bool) -> tuple[str, ...]:
        """Return why a method is barred for a marker.

        One that is being `chosen` is barred also where the rules do not offer it and it is not the usual one of its
        kind. A blend is a refinish that goes on into the neighbour, as a plan may want it.
        """
        found = self.ways(marker)
        if found is None or method in found.opened.open or (method == BLEND and WHOLE in found.opened.open):
            return ()
        kind = self.catalogue.kinds[marker["kind"]]
        strange = chosen and method not in (kind.method, kind.method_metal)
        return found.opened.barred.get(method, (_("it is no usual way for this kind"),) if strange else ())

    def _facts(self, marker: Row) -> Facts:
        zone = self._outline.zone_or_none(
            marker["zone"]
        )  # drawn on another outline once, as an event that came late may be
        examined = _held(marker, "examined")
        known = json.loads(examined) if examined else {}
        return Facts(
            kind=marker["kind"], material=zone.material if zone else None, surface_class=marker["class"],
            paint=zone.paint if zone and zone.paint in PAINTS else None, size=marker["size"], count=marker["count"] or 1,
            horizontal=horizontal(marker["view"], marker["part"]), **{name: known[name] for name in SEEN if name in known},
        )  # fmt: skip

    def _work(self, part: str) -> list[tuple[int, Removal]]:
        if part not in self._done:
            self._done[part] = list(removals(self.catalogue, self._db.execute(DONE, (self._unit, part))))
        return self._done[part]

    def _reading(self, marker: Row) -> FilmReading | None:
        held = self.reading_at(marker)
        return None if held is None else self._film(held, marker["part"])

    def _film(self, held: sqlite3.Row, part: str) -> FilmReading:
        told, work = json.loads(held["told"]), self._work(part)
        return FilmReading(method=told["method"], film=told["film"], after=sum(at <= held["at"] for at, _done in work))

    def reading_at(self, marker: Row) -> sqlite3.Row | None:
        """Return the film reading that counts at a marker: the latest for it or for its part; None when a new film lies on it."""
        part = marker["part"]
        if part not in self._read:
            self._read[part] = self._db.execute(READ, (self._unit, part)).fetchall()
        held = next((row for row in self._read[part] if row["for_marker"] in (None, marker["id"])), None)
        return None if held is None or self.renewed_since(part, held["at"]) else held

    def untouched(self, part: str) -> Left | None:
        """Return what the strictest class of a part allows where nothing is marked; None where no budget holds."""
        zones = [zone for zone in self._outline.zones if zone.part == part and zone.paint in PAINTS]
        if not zones:
            return None
        nowhere, held = Place(view="", x=0, y=0), self.reading_at({"part": part, "id": None})
        reading = None if held is None else self._film(held, part)
        found = [
            spot_at(nowhere, (), surface_class=zone.surface_class, paint=zone.paint, material=zone.material,
                    reading=reading, budgets=self.catalogue.rule_book.budgets).left(0)
            for zone in zones
        ]  # fmt: skip
        return min(found, key=lambda one: (one.most - one.taken, one.clear - one.stay))

    def renewed_since(self, part: str, at: int) -> bool:
        """Tell whether a part got a new film after a time."""
        return any(done.renews and when > at for when, done in self._work(part))


def ground(w: Writing, event: Incoming) -> Ground:
    """Return the ground of an event's unit, in the catalogue of now."""
    return Ground(w.db, event.unit, w.catalogue(None), w.versions.outline(w.db, w.unit(event)["outline"]))


def place_of(marker: Row) -> Place | None:
    """Return where a marker lies, None for one of a list."""
    if marker["x"] is None or marker["y"] is None:
        return None
    return Place(view=marker["view"], x=marker["x"], y=marker["y"], spread=marker["spread"] or 0)


def removals(catalogue: Catalogue, work: Iterable[Row]) -> Iterator[tuple[int, Removal]]:
    """Yield what each row of work (at, method, department, film, and the place of its marker) did to the film, and when."""
    for row in work:
        method = catalogue.methods.get(row["method"])
        done = None if method is None else removal_of(method, row["department"], row["film"], place_of(row))
        if done is not None:
            yield row["at"], done


def horizontal(view: str, part: str) -> bool | None:
    """Tell whether a part lies flat, as a roof and a bonnet do; None on a view that is a list."""
    if view in ("openings", "inside"):
        return None
    return view == "roof" or part.startswith("bonnet")


def barred(on: Ground, markers: Iterable[Row], method: str, *, chosen: bool = True) -> str:
    """Return why a method is barred for some of these markers, as "B1: it goes through the clear"; "" when it is open."""
    told = []
    for marker in markers:
        reasons = on.bars(marker, method, chosen=chosen)
        told += [_("%(tag)s: %(reasons)s", tag=marker["tag"], reasons="; ".join(reasons))] if reasons else []
    return "; ".join(told)


def refuse(catalogue: Catalogue, method: str, why: str) -> Refusal:
    """Return the refusal of a barred method that was chosen without a reason."""
    label = midway(_(catalogue.methods[method].label))
    return Refusal(
        "barred",
        _("“%(method)s” is barred here (%(why)s); choose another way, or say why it is done all the same.",
          method=label, why=why),
        409,
    )  # fmt: skip


def _held(marker: Row, column: str) -> Any:
    return marker[column] if column in marker.keys() else None  # noqa: SIM118 - a row of SQLite has no `in`
