"""What stands in the sentences of a unit's history: names, tags, jobs and zones for the ids that an event holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from inspect_app.journal.events import printable
from inspect_app.journal.queries.history import Things
from inspect_app.rooms.shown import booth_words
from inspect_app.rooms.units.words import minutes_words
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.trade.outline_model import part_label
from inspect_app.trade.reading_taken import WHATS
from inspect_app.words import N_, midway, ngettext
from inspect_app.words import gettext as _
from inspect_app.words.listed import all_of

SEEN = {
    "on_edge": N_("on an edge or crease"),
    "nail_catches": N_("a nail catches"),
    "cured": N_("cured through"),
    "body_repaired": N_("body metal was repaired here"),
    "driver_view": N_("in the driver's view"),
    "traced": N_("the leak is traced"),
}
SEEN_NOT = {
    "on_edge": N_("not on an edge or crease"),
    "nail_catches": N_("no nail catches"),
    "cured": N_("not cured through"),
    "body_repaired": N_("no body metal was repaired here"),
    "driver_view": N_("not in the driver's view"),
    "traced": N_("the leak is not traced"),
}
LAYERS = {
    "clear": N_("no deeper than the clear"),
    "base": N_("down to the base"),
    "primer": N_("down to the primer"),
    "metal": N_("down to the metal"),
    "plastic": N_("down to the plastic"),
}


class Values(Mapping[str, str]):
    """The values of one event's sentence, each worked out when the sentence asks for it; what is unknown is said so.

    `body` may be anything that a tablet sent, for what was refused is told as well.
    """

    def __init__(
        self, who: str, body: Mapping[str, Any], resolved: Mapping[str, Any], private: Mapping[str, Any], known: Known
    ) -> None:
        self._actor, self._body, self._resolved, self._private, self._known = who, body, resolved, private, known

    def __getitem__(self, name: str) -> str:
        made = getattr(self, f"_{name}", None)
        return str(made()) if callable(made) else self._text(name)

    def __iter__(self) -> Iterator[str]:
        return iter(())  # only asked one by one

    def __len__(self) -> int:
        return 0

    def _text(self, name: str) -> str:
        found = self._resolved.get(name) or self._body.get(name) or self._private.get(name)
        return _plain(found) or _("not said")

    def _who(self) -> str:
        return self._actor

    def _marker(self) -> Any:
        body, known = self._body, self._known
        asked = known.things.concessions.get(_plain(body.get("concession")))
        key = body.get("marker") or (asked["marker"] if asked is not None else self._resolved.get("marker"))
        return known.things.markers.get(_plain(key))

    def _tag(self) -> str:
        return _plain(self._resolved.get("tag")) or self._held("tag") or _plain(self._body.get("tag")) or _("a mark")

    def _held(self, column: str) -> str:
        row = self._marker()
        return "" if row is None else str(row[column])

    def _into(self) -> str:
        row = self._known.things.markers.get(_plain(self._body.get("into")))
        return _("another mark") if row is None else str(row["tag"])

    def _kind(self) -> str:
        key = self._resolved.get("kind") or self._body.get("kind") or self._held("kind")
        return midway(self._known.label("kinds", key))

    def _severity(self) -> str:
        return _plain(self._resolved.get("severity") or self._body.get("severity")) or _("severity not said")

    def _where(self) -> str:
        words = _plain(self._resolved.get("words")) or self._held("words")
        where = words or (self._zone() if self._body.get("zone") else _("place not known"))
        station = self._resolved.get("found_at")
        if not station:
            return where
        return _("%(where)s, found at %(station)s", where=where, station=midway(self._known.label("stations", station)))

    def _zone(self) -> str:
        return self._known.zone(self._body.get("zone"))

    def _what(self) -> str:
        return _(WHATS.get(_plain(self._body.get("what")), "")) or self._text("what")

    def _verdict(self) -> str:
        return self._text("text")

    def _zones(self) -> str:
        found = self._body.get("zones")
        return all_of(self._known.zone(key) for key in (found if isinstance(found, list) else []))

    def _lap(self) -> str:
        return self._known.label("laps", self._body.get("lap"))

    def _walk(self) -> str:
        row = self._known.things.walks.get(_plain(self._body.get("walk")))
        return self._known.label("walks", self._body.get("purpose") or (row["purpose"] if row is not None else ""))

    def _found(self) -> str:
        found = self._body.get("found")
        number = found if isinstance(found, int) else 0
        return ngettext("%(n)s mark", "%(n)s marks", number)

    def _minutes(self) -> str:
        told = self._body.get("minutes", 1)
        return minutes_words(told) if isinstance(told, int) else _("some minutes")

    def _department(self) -> str:
        return self._known.label("departments", self._body.get("department") or self._body.get("origin"))

    def _gate(self) -> str:
        return self._known.label("gates", self._body.get("gate"))

    def _silent(self) -> str:
        return self._known.letters.get(_plain(self._body.get("tablet")), "?")

    def _timer(self) -> str:
        row = self._known.things.timers.get(_plain(self._body.get("timer")))
        return self._known.timer(self._body.get("caution") if row is None else row["caution"])

    def _place(self) -> str:
        row = self._known.things.timers.get(_plain(self._body.get("timer")))
        return _plain(self._body.get("place")) or ("" if row is None else str(row["place"])) or _("place not known")

    def _station(self) -> str:
        return midway(self._known.label("stations", self._body.get("station")))

    def _part(self) -> str:
        return self._known.part(_plain(self._body.get("part")))

    def _piece(self) -> str:
        row = self._known.things.parts.get(_plain(self._body.get("part")))
        return _(row["label"]) if row is not None else self._known.part(_plain(self._body.get("of")))

    def _stage(self) -> str:
        return self._known.stage(_plain(self._body.get("stage")))

    def _out(self) -> str:
        return self._number("out")

    def _broken(self) -> str:
        return self._number("broken")

    def _replaced(self) -> str:
        return self._number("replaced")

    def _number(self, name: str) -> str:
        return _plain(self._body.get(name)) or _("not said")

    def _booth(self) -> str:
        return booth_words(_plain(self._body.get("booth")))

    def _painted(self) -> str:
        return self._known.moment(self._body.get("at"))

    def _details(self) -> str:
        body, known = self._body, self._known
        told = {
            "sprayer": _("sprayed by %(name)s", name=known.names.get(_plain(body.get("sprayer")), "?")),
            "mix": _("mix %(mix)s", mix=_plain(body.get("mix"))),
            "flame_at": _("flame-treated %(when)s", when=known.moment(body.get("flame_at"))),
        }
        return ", ".join(words for name, words in told.items() if body.get(name)) or _("nothing more is known")

    def _job(self) -> str:
        row = self._known.things.jobs.get(_plain(self._body.get("job")))
        return _("not known here") if row is None else self._known.work(row["method"], row["part"])

    def _chains(self) -> str:
        chains = self._body.get("chains") or []
        markers, jobs = self._known.things.markers, self._known.things.jobs
        told = []
        for chain in chains:
            tags = all_of(str(markers[key]["tag"]) for key in chain["markers"] if key in markers)
            first = next((row for row in jobs.values() if row["chain"] == chain["chain"]), None)
            work = _("not known here") if first is None else self._known.work(first["method"], first["part"])
            told.append(_("%(work)s for %(tags)s", work=work, tags=tags))
            told += [self._instead(one) for one in chain.get("switched", ())]
        return "; ".join(told)

    def _plan(self) -> str:
        return _plain(self._resolved.get("text"))

    def _otherwise(self) -> str:
        some = self._body.get("otherwise")
        found = [one for one in (some if isinstance(some, list) else []) if isinstance(one, dict)]
        words = {"spots": _("spot by spot"), "refinish": _("refinished")}
        return "; ".join(
            _("%(part)s %(how)s, %(reason)s", part=self._known.part(_plain(one.get("part")) or "?"),
              how=words.get(_plain(one.get("chosen")), "?"), reason=_plain(one.get("reason")))
            for one in found
        )  # fmt: skip

    def _instead(self, switched: Mapping[str, str]) -> str:
        row = self._known.things.markers.get(switched["marker"])
        was = self._known.label("methods", switched["was"])
        tag = _("a mark") if row is None else row["tag"]
        return _("not by “%(method)s” (%(tag)s: %(why)s)", method=was, tag=tag, why=switched["barred"])

    def _seen(self) -> str:
        told = []
        for name, found in self._body.items():
            words = SEEN_NOT if found is False else SEEN
            text = words.get(name) or LAYERS.get(_plain(found))
            told += [_(text)] if text else []
        return all_of(told) or _("not said")

    def _findings(self) -> str:
        found = self._body.get("findings") or []
        return "; ".join(str(one["text"]) for one in found) or _("none of them are too near or too many any longer")

    def _about(self) -> str:
        things = self._known.things
        body: Any = things.photos.get(_plain(self._body.get("photo")))
        body = self._body if body is None else body
        marker, job = things.markers.get(_plain(body["marker"])) if _has(body, "marker") else None, None
        if marker is None and _has(body, "job"):
            job = things.jobs.get(_plain(body["job"]))
        if marker is not None:
            return str(marker["tag"])
        return _("the van") if job is None else self._known.part(job["part"])

    def _question(self) -> str:
        row = self._known.things.questions.get(_plain(self._body.get("question")))
        return _("not known here") if row is None else str(row["text"])

    def _changed(self) -> str:
        return "; ".join(self._known.field(name, value) for name, value in self._body.items() if name != "colour_hex")


class Known:
    """Everything the sentences of one unit are made of, read once. `names`, `letters`: of people, of tablets, by id."""

    def __init__(
        self,
        *,
        things: Things,
        names: Mapping[str, str],
        letters: Mapping[str, str],
        catalogue: Catalogue,
        outline: Outline,
        day: Any,
        moment: Any,
    ) -> None:
        self.things, self.names, self.letters = things, names, letters
        self._catalogue, self._outline, self._day, self._moment = catalogue, outline, day, moment

    def label(self, rows: str, key: object) -> str:
        """The name of a row of the catalogue, or its key when this catalogue has no such row."""
        found = getattr(self._catalogue, rows).get(_plain(key))
        return _plain(key).replace("_", " ") if found is None else _(found.label)

    def stage(self, key: str) -> str:
        """The name of a stage of parts."""
        found = self._catalogue.rule_book.part_stages.stages.get(key)
        return _("not known here") if found is None else _(found.label)

    def timer(self, caution: object) -> str:
        """The name of a caution's timer, or of the caution when it has none now."""
        found = self._catalogue.cautions.get(_plain(caution))
        return _(found.timer) if found is not None and found.timer else self.label("cautions", caution)

    def zone(self, key: object) -> str:
        """The name of a zone of the unit's outline."""
        try:
            label = midway(_(self._outline.zone(_plain(key)).label))
            return label.replace("a-pillar", "A-pillar").replace("b-pillar", "B-pillar")
        except KeyError:
            return _plain(key) or _("a zone")

    def part(self, key: str) -> str:
        """The name of a part."""
        return _(part_label(key))

    def moment(self, at: object) -> str:
        """A time with its date."""
        return str(self._moment(at)) if isinstance(at, int) else _("at a time not known")

    def work(self, method: str, part: str) -> str:
        """A job in words: its method and its part."""
        return _("“%(method)s” on %(part)s", method=self.label("methods", method), part=self.part(part))

    def field(self, name: str, value: object) -> str:
        """A corrected field with its new value."""
        said = self._day(value) if name == "due" and isinstance(value, int) else _plain(value)
        if name == "finish":
            said = _(said)
        labels = {
            "make": _("Make"),
            "model": _("Model"),
            "colour": _("Colour"),
            "finish": _("Finish"),
            "due": _("Due"),
            "place": _("Stands"),
            "keys": _("Keys"),
        }
        return f"{midway(labels.get(name, name))} {said or _('not known')}"


def _has(row: Any, name: str) -> bool:
    return name in row.keys() and row[name] is not None  # noqa: SIM118 - a row of SQLite has no `in`


def _plain(found: object) -> str:
    """A text of an event, cut to a line's worth; numbers as they are, anything else is nothing."""
    if isinstance(found, int) and not isinstance(found, bool):
        return str(found)
    return printable(found)[:500] if isinstance(found, str) else ""
