"""Limits that cannot be right: rows that never fire, and rows that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_rows import Kind, Limit
from inspect_app.words import gettext as _

UNSIZED = ("count", "none")
PAINTS = ("ours", "maker")

Found = Iterator[tuple[tuple[str | int, ...], str]]


def limit_faults(catalogue: Catalogue) -> Found:
    """Yield the place and the sentence of each fault of the limits."""
    seen: set[tuple[str, str, str | None]] = set()
    for number, limit in enumerate(catalogue.limits):
        place = ("limits", number)
        where = _where(number, limit)
        if limit.surface_class not in catalogue.classes:
            yield (*place, "surface_class"), _("%(where)s names a surface class that does not exist", where=where)
        for field, fault in _figures(limit):
            yield (*place, field), f"{where} {fault}"
        for key in limit.kinds:
            pair = (key, limit.surface_class, limit.paint)
            if pair in seen:
                said = _("%(where)s never fires for '%(key)s': an earlier row covers it", where=where, key=key)
                yield (*place, "kinds"), said
            seen.add(pair)
            for field, fault in _against_kind(catalogue, limit, key):
                yield (*place, field), f"{where} {fault}"
    yield from _paints(catalogue)
    yield from _milder(catalogue)


def _where(number: int, limit: Limit) -> str:
    return _("limit %(number)s (class %(class_)s)", number=number + 1, class_=limit.surface_class)


def _figures(limit: Limit) -> Iterator[tuple[str, str]]:
    if limit.max_size is None and limit.max_count is None:
        yield "max_size", _("can never fire: give it a size or a count")
    if any(figure is not None and figure < 0 for figure in (limit.max_size, limit.max_count, limit.raking_max_size)):
        yield "max_size", _("has a figure below zero")
    if limit.max_size == 0 and limit.raking_max_size is None and limit.max_count is not None:
        yield "max_count", _("has a count that can never fire, since no size is allowed")
    if limit.max_count == 0 and limit.max_size is not None:
        yield "max_size", _("has a size that can never fire, since none is allowed")
    if limit.raking_max_size is not None and limit.raking_max_size <= (limit.max_size or 0):
        yield "raking_max_size", _("has a raking figure that never fires: it must be larger than the size")
    if not limit.kinds:
        yield "kinds", _("names no kind")


def _against_kind(catalogue: Catalogue, limit: Limit, key: str) -> Iterator[tuple[str, str]]:
    kind = catalogue.kinds.get(key)
    if kind is None:
        yield "kinds", _("names the kind '%(key)s', which does not exist", key=key)
        return
    sized = [(field, size) for field in ("max_size", "raking_max_size") if (size := getattr(limit, field))]
    for field, size in sized:
        fault = _outside(kind, size)
        if fault:
            yield field, fault
            return


def _outside(kind: Kind, size: int) -> str:
    if kind.measure in UNSIZED:
        return _("has a size that can never fire for '%(key)s', which is not sized", key=kind.key)
    if kind.sizes and not kind.sizes[0] <= size < kind.sizes[-1]:
        return _(
            "lies outside the size buttons of '%(key)s', so that no button or every button is over it", key=kind.key
        )
    return ""


def _paints(catalogue: Catalogue) -> Found:
    """A row for any paint that has one of its own beside it for each paint; a row for one paint without any other."""
    rows = catalogue.limit_rows
    for number, limit in enumerate(catalogue.limits):
        for key in limit.kinds:
            if limit.paint is None and all((key, limit.surface_class, paint) in rows for paint in PAINTS):
                said = _(
                    "%(where)s never fires for '%(key)s': own and chassis maker's paint have rows of their own",
                    where=_where(number, limit),
                    key=key,
                )
                yield ("limits", number, "paint"), said
            if limit.paint == "maker" and catalogue.limit(key, limit.surface_class, "ours") is None:
                said = _(
                    "%(where)s limits '%(key)s' on the chassis maker's paint alone; give own paint a row, too",
                    where=_where(number, limit),
                    key=key,
                )
                yield ("limits", number, "paint"), said


def _milder(catalogue: Catalogue) -> Found:
    """What is seen less may not be judged harder, and the chassis maker's paint not harder than our own."""
    numbers = {id(limit): number for number, limit in enumerate(catalogue.limits)}
    told: set[tuple[str, int, str]] = set()
    for key in catalogue.kinds:
        for paint in PAINTS:
            rows = [row for name in sorted(catalogue.classes) if (row := catalogue.limit(key, name, paint))]
            for plain, hidden in pairwise(rows):
                field = _harder(plain, hidden)
                if field and (key, id(hidden), field) not in told:
                    told.add((key, id(hidden), field))
                    said = _classes_words(key, hidden, plain)
                    yield ("limits", numbers[id(hidden)], field), said
        for name in sorted(catalogue.classes):
            ours, makers = catalogue.limit(key, name, "ours"), catalogue.limit(key, name, "maker")
            if ours and makers and ours is not makers and (field := _harder(ours, makers)):
                said = _(
                    "kind '%(key)s' is judged harder on the chassis maker's paint than on own paint (class %(name)s)",
                    key=key,
                    name=name,
                )
                yield ("limits", numbers[id(makers)], field), said


def _classes_words(key: str, hidden: Limit, plain: Limit) -> str:
    values = {"key": key, "hidden": hidden.surface_class, "plain": plain.surface_class}
    if "maker" in (hidden.paint, plain.paint):
        return _(
            "kind '%(key)s' is judged harder on class %(hidden)s than on class %(plain)s of the chassis maker's paint",
            **values,
        )
    return _("kind '%(key)s' is judged harder on class %(hidden)s than on class %(plain)s", **values)


def _harder(strict: Limit, mild: Limit) -> str:
    """Return the field in which a row that should be milder is the stricter one, or "" when in none."""
    if mild.max_count == 0 and strict.max_count != 0 and strict.max_size != 0:
        return "max_count"
    if strict.max_size is not None and mild.max_size is not None and mild.max_size < strict.max_size:
        return "max_size"
    if strict.max_count and mild.max_count and strict.max_size != 0 and mild.max_count < strict.max_count:
        return "max_count"
    return ""
