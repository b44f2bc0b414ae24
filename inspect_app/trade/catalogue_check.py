"""What a catalogue must hold before it may be published: every fault as one sentence, with the place of its cause."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain, pairwise
from typing import Any, NamedTuple

from inspect_app.trade.catalogue import KEYED, Catalogue
from inspect_app.trade.catalogue_limits import limit_faults
from inspect_app.trade.catalogue_rows import Kind, Method
from inspect_app.trade.rule_check import rule_faults
from inspect_app.words import gettext as _

EVERYDAY = (1, 2, 3, 4, 5)
ROLES = ("inspector", "technician", "manager")
NEEDED_GATES = ("identity", "marks", "coverage", "release")
KEY = re.compile(r"[A-Za-z0-9_]{1,40}")  # it stands in events and in addresses of pages
MOST_MINUTES = 1440  # a day: what takes longer is no wait beside a job
UNSIZED = ("count", "none")
NAMED = ("kinds", "methods", "cautions", "severities", "classes", "departments", "gates", "options", "stations")


class Fault(NamedTuple):
    """A sentence and the place of its cause: the part, the row's key or number, the field, and further inwards."""

    place: tuple[str | int, ...]
    sentence: str


def faults(catalogue: Catalogue) -> list[str]:
    """Return all faults as sentences, in the order of the catalogue's parts; see `catalogue.check`."""
    return [fault.sentence for fault in located(catalogue)]


def located(catalogue: Catalogue) -> list[Fault]:
    """Return all faults with their places; an empty list means that it can be published."""
    return [Fault(*fault) for look in LOOKS for fault in look(catalogue)]


Found = Iterator[tuple[tuple[str | int, ...], str]]


def _keys(catalogue: Catalogue) -> Found:
    for part in KEYED:
        for key in getattr(catalogue, part):
            if not KEY.fullmatch(key):
                said = _("'%(key)s' cannot name a row: use up to 40 letters, digits and underscores", key=key[:60])
                yield (part, key), said


def _origins(catalogue: Catalogue) -> Found:
    for part in NAMED:
        for row in getattr(catalogue, part).values():
            if not row.origin.strip():
                yield (
                    (part, row.key, "origin"),
                    _("'%(key)s' does not say where its values come from; fill in its origin", key=row.key),
                )
            if not row.label.strip():
                yield (part, row.key, "label"), _("'%(key)s' has no name; give it one", key=row.key)
    for number, limit in enumerate(catalogue.limits):
        if not limit.origin.strip():
            said = _("limit %(number)s does not say where its values come from; fill in its origin", number=number + 1)
            yield ("limits", number, "origin"), said


def _kinds(catalogue: Catalogue) -> Found:
    for kind in catalogue.kinds.values():
        yield from _references(catalogue, kind)
        yield from _sizes(kind)


def _references(catalogue: Catalogue, kind: Kind) -> Found:
    place = ("kinds", kind.key)
    wanted = (
        ("group", "group", kind.group, catalogue.groups),
        ("origin_department", "department", kind.origin_department, catalogue.departments),
        ("method", "method", kind.method, catalogue.methods),
        ("method_metal", "method", kind.method_for("metal"), catalogue.methods),
        ("severity", "severity", kind.severity, catalogue.severities),
    )
    said: set[tuple[str, str]] = set()
    for field, noun, key, rows in wanted:
        if (noun, key) in said:
            continue
        said.add((noun, key))
        if key not in rows:
            yield (
                (*place, field),
                _(
                    "kind '%(kind)s' names the %(noun)s '%(key)s', which does not exist",
                    kind=kind.key,
                    noun=_(noun),
                    key=key,
                ),
            )
        elif not kind.retired and is_retired(rows, key):
            yield (
                (*place, field),
                _(
                    "kind '%(kind)s' names the %(noun)s '%(key)s', which is retired; choose another one",
                    kind=kind.key,
                    noun=_(noun),
                    key=key,
                ),
            )


def is_retired(rows: Mapping[str, Any], key: str) -> bool:
    """Tell whether a row is there and retired."""
    return key in rows and getattr(rows[key], "retired", False)


def _sizes(kind: Kind) -> Found:
    place = ("kinds", kind.key, "sizes")
    if kind.measure in UNSIZED and kind.sizes:
        yield place, _("kind '%(key)s' has size buttons but is not sized; empty its sizes", key=kind.key)
    if kind.measure not in UNSIZED and len(kind.sizes) < 2:
        yield place, _("kind '%(key)s' is sized but has fewer than two size buttons", key=kind.key)
    if len(kind.sizes) > 7:
        yield place, _("kind '%(key)s' has more than seven size buttons, which no phone shows", key=kind.key)
    if any(low >= high for low, high in zip((0, *kind.sizes), kind.sizes, strict=False)):
        yield place, _("kind '%(key)s' must have its size buttons above zero and ascending", key=kind.key)


def _everyday(catalogue: Catalogue) -> Found:
    placed = catalogue.everyday()
    places = tuple(kind.everyday for kind in placed)
    if places != EVERYDAY:
        got = ", ".join(str(place) for place in places) or "none"
        doubled = (late for early, late in pairwise(placed) if early.everyday == late.everyday)
        odd = next(chain(doubled, (kind for kind in placed if kind.everyday not in EVERYDAY)), None)
        place = ("kinds", odd.key, "everyday") if odd else ("kinds",)
        yield place, _("the everyday kinds must fill the places 1 to 5 once each (got %(got)s)", got=got)


def _methods(catalogue: Catalogue) -> Found:
    for method in catalogue.methods.values():
        yield from _chain(catalogue, method)
        yield from _method_words(catalogue, method)
        yield from _voids(catalogue, method)


def _chain(catalogue: Catalogue, method: Method) -> Found:
    place = ("methods", method.key, "chain")
    if not method.chain:
        yield place, _("method '%(key)s' has no step; name at least one department", key=method.key)
    for number, step in enumerate(method.chain):
        where = {"number": number + 1, "key": method.key, "department": step.department}
        at = (*place, number)
        if step.department not in catalogue.departments:
            said = _(
                "step %(number)s of method '%(key)s' names the department '%(department)s', which does not exist",
                **where,
            )
            yield (*at, "department"), said
        elif not catalogue.departments[step.department].takes_jobs:
            yield (
                (*at, "department"),
                _("step %(number)s of method '%(key)s' goes to '%(department)s', which takes no jobs", **where),
            )
        elif not method.retired and is_retired(catalogue.departments, step.department):
            yield (
                (*at, "department"),
                _("step %(number)s of method '%(key)s' goes to '%(department)s', which is retired", **where),
            )
        if step.minutes_base + step.minutes_spot <= 0 or step.minutes_spot < 0 or step.minutes_base < 0:
            yield (
                (*at, "minutes_base"),
                _("step %(number)s of method '%(key)s' has no minutes; give it at least one", **where),
            )


def _method_words(catalogue: Catalogue, method: Method) -> Found:
    place = ("methods", method.key)
    if not method.steps:
        yield (*place, "steps"), _("method '%(key)s' does not say how it is done", key=method.key)
    if not method.cautions:
        yield (*place, "cautions"), _("method '%(key)s' has no cautions", key=method.key)
    for key in method.cautions:
        if not method.retired and is_retired(catalogue.cautions, key):
            said = _("method '%(key)s' names the caution '%(caution)s', which is retired", key=method.key, caution=key)
            yield (*place, "cautions"), said
        if key not in catalogue.cautions:
            yield (
                (*place, "cautions"),
                _(
                    "method '%(key)s' names the caution '%(caution)s', which does not exist",
                    key=method.key,
                    caution=key,
                ),
            )
    if method.booth and "isocyanate" not in method.cautions:
        said = _("method '%(key)s' sprays in the booth but does not warn of isocyanates", key=method.key)
        yield (*place, "cautions"), said
    for field in ("wait_minutes", "film"):
        if getattr(method, field) < 0:
            yield (*place, field), _("method '%(key)s' has a figure below zero; give zero or more", key=method.key)


def _voids(catalogue: Catalogue, method: Method) -> Found:
    place = ("methods", method.key, "voids", "laps")
    if (method.voids.scope == "none") != (not method.voids.laps):
        yield place, _("method '%(key)s' must name laps exactly when its work undoes looks", key=method.key)
    for lap in method.voids.laps:
        if lap not in catalogue.laps:
            yield (
                place,
                _("method '%(key)s' undoes looks of the lap '%(lap)s', which does not exist", key=method.key, lap=lap),
            )


def _waits(catalogue: Catalogue) -> Found:
    for method in catalogue.methods.values():
        for key in method.waits_for:
            if key not in catalogue.methods:
                said = _("method '%(key)s' waits for '%(other)s', which does not exist", key=method.key, other=key)
                yield ("methods", method.key, "waits_for"), said
    told: set[frozenset[str]] = set()
    for key in catalogue.methods:
        loop = waiting_loop({one.key: one.waits_for for one in catalogue.methods.values()}, key)
        if loop and frozenset(loop) not in told:
            told.add(frozenset(loop))
            trail = _(" waits for ").join(f"'{one}'" for one in (*loop, loop[0]))
            said = _("no method of this loop could ever begin: %(loop)s; take one of them out", loop=trail)
            yield ("methods", loop[-1], "waits_for"), said


def waiting_loop(waits: Mapping[str, Iterable[str]], start: str) -> list[str]:
    """Return the loop of waiting that leads from `start` back to it, in its order; empty when there is none."""
    trails = [[start]]
    seen = {start}
    while trails:
        trail = trails.pop(0)
        for key in waits.get(trail[-1], ()):
            if key == start:
                return trail
            if key not in seen:
                seen.add(key)
                trails.append([*trail, key])
    return []


def _timers(catalogue: Catalogue) -> Found:
    for caution in catalogue.cautions.values():
        least, proposed = caution.timer_least, caution.timer_minutes
        if not caution.timer and (least or proposed):
            said = _("caution '%(key)s' has minutes but no timer; name the timer, or empty them", key=caution.key)
            yield ("cautions", caution.key, "timer"), said
        elif caution.timer and not 1 <= proposed <= MOST_MINUTES:
            said = _(
                "the timer of caution '%(key)s' runs for 1 to %(most)s minutes", key=caution.key, most=MOST_MINUTES
            )
            yield ("cautions", caution.key, "timer_minutes"), said
        elif not 0 <= least <= proposed:
            said = _("the timer of caution '%(key)s' proposes fewer minutes than it takes", key=caution.key)
            yield ("cautions", caution.key, "timer_least"), said


def _gates(catalogue: Catalogue) -> Found:
    for key in NEEDED_GATES:
        if key not in catalogue.gates or not catalogue.gates[key].by_default:
            yield ("gates", key, "by_default"), _("the gate '%(key)s' must exist and be on by default", key=key)
    for gate in catalogue.gates.values():
        if not gate.lifted_by or not set(gate.lifted_by) <= set(ROLES):
            said = _("gate '%(key)s' must be lifted by some of %(roles)s", key=gate.key, roles=", ".join(ROLES))
            yield ("gates", gate.key, "lifted_by"), said


def _walks(catalogue: Catalogue) -> Found:
    for walk in catalogue.walks.values():
        if not walk.laps or not set(walk.laps) <= set(catalogue.laps):
            yield ("walks", walk.key, "laps"), _("the walk '%(key)s' must name laps that exist", key=walk.key)


def _options(catalogue: Catalogue) -> Found:
    names: dict[str, str] = {}
    for option in catalogue.options.values():
        place = ("options", option.key)
        for zone in sorted(set(option.brings) & set(option.takes)):
            said = _("option '%(key)s' both brings and takes the zone '%(zone)s'", key=option.key, zone=zone)
            yield (*place, "takes"), said
        name = option.label.casefold()
        if not option.retired and names.setdefault(name, option.key) != option.key:
            said = _("two options are called '%(label)s'; a list of units could mean either", label=option.label)
            yield (*place, "label"), said


def _stations(catalogue: Catalogue) -> Found:
    for station in catalogue.stations.values():
        for key in station.departments:
            if key not in catalogue.departments:
                said = _(
                    "the station '%(key)s' names a department '%(name)s' that is not there", key=station.key, name=key
                )
                yield ("stations", station.key, "departments"), said


LOOKS: tuple[Callable[[Catalogue], Found], ...] = (
    _keys, _origins, _kinds, _everyday, _methods, _waits, limit_faults, _timers, _gates, _walks, _options, _stations,
    rule_faults,
)  # fmt: skip
