"""What differs between two catalogues, value by value, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any, Literal

from inspect_app.trade.catalogue import KEYED, Catalogue
from inspect_app.trade.catalogue_rows import Limit, Station
from inspect_app.trade.catalogue_words import FIELDS, PAINTS, PARTS, limit_words, value_words
from inspect_app.trade.rule_words import Line, rule_lines
from inspect_app.words import gettext as _

What = Literal["new", "gone", "retired", "back", "changed"]
UNSAID = {"key", "order", "retired"}
EMPTY = Line(label="", said={})


@dataclass(frozen=True, kw_only=True)
class Change:
    """One thing that differs. `field`, `was` and `now` are in words, and empty where a whole row came or went."""

    part: str
    key: str
    label: str
    what: What
    field: str = ""
    was: str = ""
    now: str = ""


def changes(old: Catalogue, new: Catalogue) -> list[Change]:
    """Return what differs, part by part in the order of PARTS, and within a part in the order of its rows."""
    found = [change for part in PARTS for change in _part(old, new, part)]
    return [*_whole(old, new), *found, *_rules(old, new)]


def _rules(old: Catalogue, new: Catalogue) -> Iterator[Change]:
    """What differs in the rules; a catalogue without rules of its own has those that come with the program."""
    if old.rule_book == new.rule_book:
        return
    before, after = rule_lines(old), rule_lines(new)
    for key in dict.fromkeys((*after, *before)):
        was, now = before.get(key), after.get(key)
        named: Any = {"part": key[0], "key": key[1], "label": (now or was or EMPTY).label}
        if was is None or now is None:
            words = "; ".join(filter(None, (now or was or EMPTY).said.values()))
            yield Change(**named, what="new" if was is None else "gone", **{"now" if was is None else "was": words})
            continue
        for field in dict.fromkeys((*was.said, *now.said)):
            one, other = was.said.get(field, ""), now.said.get(field, "")
            if one != other:
                yield Change(**named, what="changed", field=field, was=one, now=other)


def _whole(old: Catalogue, new: Catalogue) -> Iterator[Change]:
    for field, label in (("name", _("Name of the catalogue")), ("clause", _("Sentence under every caution"))):
        was, now = getattr(old, field), getattr(new, field)
        if was != now:
            yield Change(part="", key=field, label=label, what="changed", was=was, now=now)


def _part(old: Catalogue, new: Catalogue, part: str) -> Iterator[Change]:
    if part == "limits":
        yield from _limits(old, new)
    elif part in KEYED:
        before, after = getattr(old, part), getattr(new, part)
        for key in dict.fromkeys((*before, *after)):
            yield from _row(old, new, part, before.get(key), after.get(key))
        if part == "stations":
            yield from _order(before, after)


def _order(before: Mapping[str, Station], after: Mapping[str, Station]) -> Iterator[Change]:
    """Say the line's new order; of the other parts the order is that of lists and changes nothing."""
    was, now = [key for key in before if key in after], [key for key in after if key in before]
    if was != now:
        words = [", ".join(_(after[key].label) for key in line) for line in (was, now)]
        named = {"part": "stations", "key": "order", "label": _("The line"), "field": _("order")}
        yield Change(**named, what="changed", was=words[0], now=words[1])


def _row(old: Catalogue, new: Catalogue, part: str, was: Any, now: Any) -> Iterator[Change]:
    row = now or was
    named = {"part": part, "key": row.key, "label": row.label}
    if was is None or now is None:
        yield Change(**named, what="gone" if now is None else "new")
        return
    if was == now:
        return
    if getattr(was, "retired", False) != getattr(now, "retired", False):
        yield Change(**named, what="retired" if now.retired else "back")
    for field in fields(now):
        if field.name not in UNSAID and getattr(was, field.name) != getattr(now, field.name):
            yield Change(
                **named,
                what="changed",
                field=_(FIELDS[field.name]),
                was=value_words(old, was, field.name),
                now=value_words(new, now, field.name),
            )


def _limits(old: Catalogue, new: Catalogue) -> Iterator[Change]:
    before, after = old.limit_rows, new.limit_rows
    kinds = {**old.kinds, **new.kinds}
    places = sorted(dict.fromkeys((*before, *after)), key=lambda one: (list(kinds).index(one[0]), one[1], one[2] or ""))
    for place in places:
        was, now = before.get(place), after.get(place)
        kind = kinds[place[0]]
        label = limit_label(kind.label, *place[1:])
        named = {"part": "limits", "key": place[0], "label": label}
        if was is None or now is None:
            words = limit_words(kind, now or was)  # type: ignore[arg-type]
            whole = {"now": words} if was is None else {"was": words}
            yield Change(**named, what="new" if was is None else "gone", **whole)
        else:
            for field, one, other in _limit_fields(old, new, place[0], was, now):
                yield Change(**named, what="changed", field=field, was=one, now=other)


def _limit_fields(old: Catalogue, new: Catalogue, kind: str, was: Limit, now: Limit) -> Iterator[tuple[str, str, str]]:
    figures = ("max_size", "max_count", "raking_max_size")
    if any(getattr(was, one) != getattr(now, one) for one in figures):
        yield _("limit"), limit_words(old.kinds[kind], was), limit_words(new.kinds[kind], now)
    for field in ("text", "origin"):
        if getattr(was, field) != getattr(now, field):
            yield _(FIELDS[field]), getattr(was, field), getattr(now, field)


def limit_label(kind: str, surface_class: str, paint: str | None) -> str:
    """Return what a limit is for, as "dirt nib, class A, chassis maker's paint"."""
    values = {"kind": _(kind), "class_": surface_class}
    if paint is None:
        return _("%(kind)s, class %(class_)s", **values)
    return _("%(kind)s, class %(class_)s, %(paint)s", paint=_(PAINTS[paint]), **values)
