"""What a catalogue must hold before it may be published: every fault as one sentence with its place."""

from collections.abc import Callable, Iterator
from itertools import pairwise

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_rows import Kind, Limit, Method

EVERYDAY = (1, 2, 3, 4, 5)
ROLES = ("inspector", "technician", "manager")
NEEDED_GATES = ("identity", "marks", "coverage", "release")
UNSIZED = ("count", "none")


def faults(catalogue: Catalogue) -> list[str]:
    """Return all faults, in the order of the catalogue's parts; see `catalogue.check`."""
    return [fault for look in LOOKS for fault in look(catalogue)]


def _origins(catalogue: Catalogue) -> Iterator[str]:
    parts = (catalogue.kinds, catalogue.methods, catalogue.cautions, catalogue.severities, catalogue.classes)
    for row in (row for part in parts for row in part.values()):
        if not row.origin.strip():
            yield f"'{row.key}' does not say where its values come from; fill in its origin"
    for number, limit in enumerate(catalogue.limits, 1):
        if not limit.origin.strip():
            yield f"limit {number} does not say where its values come from; fill in its origin"


def _kinds(catalogue: Catalogue) -> Iterator[str]:
    for kind in catalogue.kinds.values():
        yield from _references(catalogue, kind)
        yield from _sizes(kind)


def _references(catalogue: Catalogue, kind: Kind) -> Iterator[str]:
    wanted = (
        ("group", kind.group, catalogue.groups),
        ("department", kind.origin_department, catalogue.departments),
        ("method", kind.method, catalogue.methods),
        ("method", kind.method_for("metal"), catalogue.methods),
        ("severity", kind.severity, catalogue.severities),
    )
    for noun, key, rows in dict.fromkeys((noun, key, tuple(rows)) for noun, key, rows in wanted):
        if key not in rows:
            yield f"kind '{kind.key}' names the {noun} '{key}', which does not exist"


def _sizes(kind: Kind) -> Iterator[str]:
    if kind.measure in UNSIZED and kind.sizes:
        yield f"kind '{kind.key}' has size buttons but is not sized; empty its sizes"
    if kind.measure not in UNSIZED and len(kind.sizes) < 2:
        yield f"kind '{kind.key}' is sized but has fewer than two size buttons"
    if any(low >= high for low, high in zip((0, *kind.sizes), kind.sizes, strict=False)):
        yield f"kind '{kind.key}' must have its size buttons above zero and ascending"


def _everyday(catalogue: Catalogue) -> Iterator[str]:
    places = tuple(kind.everyday for kind in catalogue.everyday())
    if places != EVERYDAY:
        got = ", ".join(str(place) for place in places) or "none"
        yield f"the everyday kinds must fill the places 1 to 5 once each (got {got})"


def _methods(catalogue: Catalogue) -> Iterator[str]:
    for method in catalogue.methods.values():
        yield from _chain(catalogue, method)
        yield from _method_words(catalogue, method)
        yield from _voids(catalogue, method)


def _chain(catalogue: Catalogue, method: Method) -> Iterator[str]:
    if not method.chain:
        yield f"method '{method.key}' has no step; name at least one department"
    for number, step in enumerate(method.chain, 1):
        where = f"step {number} of method '{method.key}'"
        department = catalogue.departments.get(step.department)
        if department is None:
            yield f"{where} names the department '{step.department}', which does not exist"
        elif not department.takes_jobs:
            yield f"{where} goes to '{step.department}', which takes no jobs"
        if step.minutes_base + step.minutes_spot <= 0 or step.minutes_spot < 0 or step.minutes_base < 0:
            yield f"{where} has no minutes; give it at least one"


def _method_words(catalogue: Catalogue, method: Method) -> Iterator[str]:
    if not method.steps:
        yield f"method '{method.key}' does not say how it is done"
    if not method.cautions:
        yield f"method '{method.key}' has no cautions"
    for key in method.cautions:
        if key not in catalogue.cautions:
            yield f"method '{method.key}' names the caution '{key}', which does not exist"
    if method.booth and "isocyanate" not in method.cautions:
        yield f"method '{method.key}' sprays in the booth but does not warn of isocyanates"


def _voids(catalogue: Catalogue, method: Method) -> Iterator[str]:
    if (method.voids.scope == "none") != (not method.voids.laps):
        yield f"method '{method.key}' must name laps exactly when its work undoes looks"
    for lap in method.voids.laps:
        if lap not in catalogue.laps:
            yield f"method '{method.key}' undoes looks of the lap '{lap}', which does not exist"


def _limits(catalogue: Catalogue) -> Iterator[str]:
    seen: set[tuple[str, str]] = set()
    for number, limit in enumerate(catalogue.limits, 1):
        where = f"limit {number} (class {limit.surface_class})"
        if limit.surface_class not in catalogue.classes:
            yield f"{where} names a surface class that does not exist"
        yield from (f"{where} {fault}" for fault in _figures(limit))
        for key in limit.kinds:
            if (key, limit.surface_class) in seen:
                yield f"{where} never fires for '{key}': an earlier row covers it"
            seen.add((key, limit.surface_class))
            yield from (f"{where} {fault}" for fault in _against_kind(catalogue, limit, key))


def _figures(limit: Limit) -> Iterator[str]:
    if limit.max_size is None and limit.max_count is None:
        yield "can never fire: give it a size or a count"
    if any(figure is not None and figure < 0 for figure in (limit.max_size, limit.max_count, limit.raking_max_size)):
        yield "has a figure below zero"
    if limit.max_size == 0 and limit.raking_max_size is None and limit.max_count is not None:
        yield "has a count that can never fire, since no size is allowed"
    if limit.raking_max_size is not None and limit.raking_max_size <= (limit.max_size or 0):
        yield "has a raking figure that never fires: it must be larger than the size"
    if not limit.kinds:
        yield "names no kind"


def _against_kind(catalogue: Catalogue, limit: Limit, key: str) -> Iterator[str]:
    kind = catalogue.kinds.get(key)
    if kind is None:
        yield f"names the kind '{key}', which does not exist"
        return
    sized = [figure for figure in (limit.max_size, limit.raking_max_size) if figure]
    if sized and kind.measure in UNSIZED:
        yield f"has a size that can never fire for '{key}', which is not sized"
    elif sized and kind.sizes and not kind.sizes[0] <= min(sized) <= max(sized) < kind.sizes[-1]:
        yield f"lies outside the size buttons of '{key}', so that no button or every button is over it"


def _milder(catalogue: Catalogue) -> Iterator[str]:
    for key in catalogue.kinds:
        rows = [catalogue.limit_rows.get((key, name)) for name in sorted(catalogue.classes)]
        sizes = [(row.surface_class, row.max_size) for row in rows if row and row.max_size is not None]
        for (plain, strict), (hidden, mild) in pairwise(sizes):
            if mild < strict:
                yield f"kind '{key}' is judged harder on class {hidden} than on class {plain}"


def _gates(catalogue: Catalogue) -> Iterator[str]:
    for key in NEEDED_GATES:
        if key not in catalogue.gates or not catalogue.gates[key].by_default:
            yield f"the gate '{key}' must exist and be on by default"
    for gate in catalogue.gates.values():
        if not gate.lifted_by or not set(gate.lifted_by) <= set(ROLES):
            yield f"gate '{gate.key}' must be lifted by some of {', '.join(ROLES)}"


def _walks(catalogue: Catalogue) -> Iterator[str]:
    for walk in catalogue.walks.values():
        if not walk.laps or not set(walk.laps) <= set(catalogue.laps):
            yield f"the walk '{walk.key}' must name laps that exist"


LOOKS: tuple[Callable[[Catalogue], Iterator[str]], ...] = (
    _origins, _kinds, _everyday, _methods, _limits, _milder, _gates, _walks,
)  # fmt: skip
