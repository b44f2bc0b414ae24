"""What stands in a catalogue, said in words: names of fields, and values as people read them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_rows import Batch, Kind, Limit, Step, Voids
from inspect_app.trade.limits import size_words
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths
from inspect_app.words.spans import minutes_words

PARTS = {
    "kinds": N_("Kinds"),
    "limits": N_("Limits"),
    "methods": N_("Methods"),
    "departments": N_("Departments"),
    "gates": N_("Gates"),
    "options": N_("Build options"),
    "cautions": N_("Cautions"),
    "severities": N_("Severities"),
    "classes": N_("Surface classes"),
    "groups": N_("Groups"),
    "walks": N_("Walks"),
    "laps": N_("Laps"),
    "stations": N_("Stations of the line"),
}
RULES = {
    "clusters": N_("Clusters and pairs"),
    "offers": N_("Methods in question"),
    "bars": N_("What bars a method"),
    "budgets": N_("Clear-coat budgets"),
    "readings": N_("Readings"),
    "part_stages": N_("Parts off the van"),
    "gate_values": N_("What gates ask for"),
}
FIELDS = {
    "label": N_("name"),
    "origin": N_("where it comes from"),
    "short": N_("short name"),
    "takes_jobs": N_("takes jobs"),
    "retired": N_("retired"),
    "group": N_("group"),
    "everyday": N_("everyday place"),
    "describe": N_("what it is"),
    "cause": N_("usual cause"),
    "measure": N_("what is measured"),
    "unit": N_("unit"),
    "sizes": N_("size buttons"),
    "snaps": N_("snaps to a joint"),
    "origin_department": N_("made by"),
    "method": N_("method"),
    "method_metal": N_("method on body metal"),
    "severity": N_("severity"),
    "pictogram": N_("pictogram"),
    "steps": N_("how it is done"),
    "chain": N_("steps by department"),
    "cautions": N_("cautions"),
    "voids": N_("looks it undoes"),
    "wait_minutes": N_("wait before the second look"),
    "film": N_("film it takes off"),
    "renews_film": N_("renews the film"),
    "booth": N_("needs the booth"),
    "batch": N_("minutes for a set"),
    "materials": N_("materials"),
    "waits_for": N_("comes after"),
    "danger": N_("what can hurt"),
    "wear": N_("what to wear"),
    "wait": N_("what to wait for"),
    "timer": N_("timer"),
    "timer_minutes": N_("minutes proposed"),
    "timer_least": N_("minutes at least"),
    "meaning": N_("meaning"),
    "demerit": N_("demerit"),
    "blocks_release": N_("blocks the release"),
    "approvers": N_("approvers of a concession"),
    "distance": N_("judged from"),
    "question": N_("question"),
    "lifted_by": N_("answered by"),
    "by_default": N_("in force"),
    "comment": N_("remark"),
    "laps": N_("laps"),
    "counts_for_coverage": N_("counts for coverage"),
    "hint": N_("hint"),
    "brings": N_("zones only a van with it has"),
    "takes": N_("zones a van with it does not have"),
    "max_size": N_("largest size"),
    "max_count": N_("at most on a part"),
    "raking_max_size": N_("largest in raking light only"),
    "text": N_("in words"),
    "surface_class": N_("class"),
    "paint": N_("paint"),
    "kinds": N_("kinds"),
    "departments": N_("departments"),
}
MEASURES = {
    "size": N_("size"),
    "length": N_("length"),
    "count": N_("how many"),
    "gap": N_("gap"),
    "step": N_("step between surfaces"),
    "area": N_("how far across"),
    "none": N_("nothing"),
}
SCOPES = {
    "none": N_("no looks"),
    "zone": N_("its zone"),
    "part": N_("its part"),
    "part_and_neighbours": N_("its part and the neighbours"),
}
PAINTS = {None: N_("any paint"), "ours": N_("own paint"), "maker": N_("chassis maker's paint")}
ROLES = {"inspector": N_("inspector"), "technician": N_("technician"), "manager": N_("manager")}
LABELLED = {
    "group": "groups",
    "origin_department": "departments",
    "method": "methods",
    "method_metal": "methods",
    "cautions": "cautions",
    "waits_for": "methods",
    "laps": "laps",
    "kinds": "kinds",
    "departments": "departments",
}
"""Fields that hold keys, and the part in which their labels stand."""


def value_words(catalogue: Catalogue, row: Any, field: str) -> str:
    """Return the value of a row's field in words; "" for nothing."""
    value = getattr(row, field)
    if value is None or value in ((), "", False):
        return _("no") if value is False else ""
    if value is True:
        return _("yes")
    said = SAID.get(field)
    if said is not None:
        return said(catalogue, row, value)
    if field in LABELLED:
        rows = getattr(catalogue, LABELLED[field])
        return ", ".join(_label(rows, key) for key in ((value,) if isinstance(value, str) else value))
    return "; ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _label(rows: Any, key: str) -> str:
    return _(rows[key].label) if key in rows else key


def _sizes(_catalogue: Catalogue, kind: Kind, sizes: tuple[int, ...]) -> str:
    return ", ".join(size_words(kind, size) for size in sizes)


def step_words(catalogue: Catalogue, step: Step) -> str:
    """Return a step as "Paint: 60 min + 5 a spot, Mask, base, clear." (30 on a rack)."""
    who = _label(catalogue.departments, step.department)
    values = {"who": who, "base": step.minutes_base, "spot": step.minutes_spot, "text": step.text}
    if step.minutes_off is not None:
        return _(
            "%(who)s: %(base)s min + %(spot)s a spot (%(off)s on a rack), %(text)s", off=step.minutes_off, **values
        )
    return _("%(who)s: %(base)s min + %(spot)s a spot, %(text)s", **values)


def _chain(catalogue: Catalogue, _row: Any, chain: tuple[Step, ...]) -> str:
    return " → ".join(step_words(catalogue, step) for step in chain)


def voids_words(catalogue: Catalogue, voids: Voids) -> str:
    """Return what looks a method undoes, as "its zone: under the lamp"."""
    laps = ", ".join(_label(catalogue.laps, lap) for lap in voids.laps)
    return f"{_(SCOPES[voids.scope])}: {laps}" if laps else _(SCOPES[voids.scope])


def _batch(_catalogue: Catalogue, _row: Any, batch: Batch) -> str:
    return _("%(set)s min and %(piece)s a piece", set=batch.minutes_set, piece=batch.minutes_piece)


def _minutes(_catalogue: Catalogue, _row: Any, minutes: int) -> str:
    return minutes_words(minutes)


SAID: dict[str, Callable[[Catalogue, Any, Any], str]] = {
    "sizes": _sizes,
    "chain": _chain,
    "voids": lambda catalogue, _row, voids: voids_words(catalogue, voids),
    "batch": _batch,
    "wait_minutes": _minutes,
    "timer_minutes": _minutes,
    "timer_least": _minutes,
    "film": lambda _catalogue, _row, film: _("%(n)s µm", n=tenths(film)),
    "measure": lambda _catalogue, _row, measure: _(MEASURES[measure]),
    "lifted_by": lambda _catalogue, _row, roles: ", ".join(_(label) for one, label in ROLES.items() if one in roles),
    "paint": lambda _catalogue, _row, paint: _(PAINTS[paint]),
}


def limit_words(kind: Kind, limit: Limit) -> str:
    """Return what a row allows, from its figures: "0.5 mm, at most 2 on a part; 0.8 mm in raking light only"."""
    if limit.max_count == 0 or (limit.max_size == 0 and limit.raking_max_size is None):
        return _("none allowed")
    said = []
    if limit.max_size is not None:
        said.append(_("none") if limit.max_size == 0 else size_words(kind, limit.max_size))
    if limit.max_count is not None:
        said.append(_("at most %(n)s on a part", n=limit.max_count))
    plain = ", ".join(said)
    if limit.raking_max_size is None:
        return plain
    return _(
        "%(plain)s; %(size)s when only raking light shows it", plain=plain, size=size_words(kind, limit.raking_max_size)
    )
