"""The catalogue as Markdown tables, for docs/catalogue.md.

`python -m inspect_app.trade.catalogue_table docs/catalogue.md` writes them anew.
"""

import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

from inspect_app.trade.catalogue import Catalogue, builtin
from inspect_app.trade.catalogue_rows import Caution, Kind, Limit, Method
from inspect_app.trade.limits import size_words
from inspect_app.words.spans import minutes_words

PAINTS = {None: "any", "ours": "own", "maker": "chassis maker's"}
BEGIN = "<!-- the tables below are written by inspect_app.trade.catalogue_table; change the TOML files instead -->"


def as_markdown(catalogue: Catalogue) -> str:
    """Return all tables: kinds, limits, methods, cautions, severities, classes, gates, stations; with origins."""
    return "\n".join(
        [*_kinds(catalogue), *_limits(catalogue), *_methods(catalogue), *_cautions(catalogue), *_rest(catalogue)]
    )


def _table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [f"## {title}", "", _line(heads), _line(["---"] * len(heads))]
    return [*lines, *(_line(row) for row in rows), ""]


def _line(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def _kinds(catalogue: Catalogue) -> list[str]:
    heads = ("kind", "what it is", "size buttons", "made by", "put right by", "severity", "origin")
    lines: list[str] = []
    for group in catalogue.groups.values():
        rows = ([_name(kind), kind.describe, _sizes(kind), catalogue.departments[kind.origin_department].label,
                 _method(catalogue, kind), kind.severity, kind.origin]
                for kind in catalogue.kinds_in(group.key))  # fmt: skip
        lines += _table(f"Kinds: {group.label}", heads, rows)
    return lines


def _name(kind: Kind) -> str:
    place = f" (everyday {kind.everyday})" if kind.everyday else ""
    return f"{kind.label}{place} `{kind.key}`"


def _method(catalogue: Catalogue, kind: Kind) -> str:
    usual, metal = (catalogue.method(kind.method_for(material)).label for material in ("plastic", "metal"))
    return usual if usual == metal else f"{usual}; on body metal: {metal}"


def _sizes(kind: Kind) -> str:
    return ", ".join(size_words(kind, size) for size in kind.sizes) or {"count": "counted"}.get(kind.measure, "none")


def _limits(catalogue: Catalogue) -> list[str]:
    heads = ("kinds", "class", "paint", "size", "count on a part", "only in raking light", "in words", "origin")
    rows = ([", ".join(catalogue.kind(key).label for key in limit.kinds), limit.surface_class, PAINTS[limit.paint],
             _allowed(catalogue, limit, limit.max_size), "" if limit.max_count is None else str(limit.max_count),
             _allowed(catalogue, limit, limit.raking_max_size), limit.text, limit.origin]
            for limit in catalogue.limits)  # fmt: skip
    return _table("Limits", heads, rows)


def _allowed(catalogue: Catalogue, limit: Limit, size: int | None) -> str:
    if size is None:
        return ""
    return "none" if size == 0 else size_words(catalogue.kind(limit.kinds[0]), size)


def _methods(catalogue: Catalogue) -> list[str]:
    heads = (
        "method",
        "departments: minutes + per spot (on a rack)",
        "film off",
        "wait",
        "after",
        "looks undone",
        "cautions",
        "origin",
    )
    rows = (_method_row(catalogue, method) for method in catalogue.methods.values())
    return _table("Methods", heads, rows)


def _method_row(catalogue: Catalogue, method: Method) -> list[str]:
    return [
        f"{method.label} `{method.key}`",
        _chain(catalogue, method),
        _or_blank(f"{method.film / 10:g} µm", method.film),
        _or_blank(minutes_words(method.wait_minutes), method.wait_minutes),
        ", ".join(catalogue.method(key).label for key in method.waits_for),
        _voids(method),
        ", ".join(caution.label for caution in catalogue.cautions_of(method.key)),
        method.origin,
    ]


def _or_blank(words: str, value: int) -> str:
    return words if value else ""


def _chain(catalogue: Catalogue, method: Method) -> str:
    def words(department: str, base: int, spot: int, off: int | None) -> str:
        rack = "" if off is None else f" ({off})"
        return f"{catalogue.departments[department].label}: {base} + {spot}{rack}"

    chain = "; ".join(words(s.department, s.minutes_base, s.minutes_spot, s.minutes_off) for s in method.chain)
    batch = method.batch
    return f"{chain}; as a set: {batch.minutes_set} + {batch.minutes_piece} a piece" if batch else chain


def _voids(method: Method) -> str:
    return f"{method.voids.scope.replace('_', ' ')}: {', '.join(method.voids.laps)}" if method.voids.laps else ""


def timer_words(caution: Caution) -> str:
    """Return the timer of a caution as "Fire watch, 60 min, at least 30"; "" for none."""
    if not caution.timer:
        return ""
    least = f", at least {caution.timer_least}" if caution.timer_least > 1 else ""
    return f"{caution.timer}, {caution.timer_minutes} min{least}"


def _cautions(catalogue: Catalogue) -> list[str]:
    rows = (
        [row.label, row.danger, row.wear, row.wait, timer_words(row), row.origin] for row in catalogue.cautions.values()
    )
    return [
        *_table("Cautions", ("caution", "what can hurt", "wear", "wait", "timer", "origin"), rows),
        f"Under each: {catalogue.clause}",
        "",
    ]


def _rest(catalogue: Catalogue) -> list[str]:
    severities = (
        [row.key, row.label, row.meaning, str(row.demerit), row.origin] for row in catalogue.severities.values()
    )
    classes = ([row.key, row.label, row.meaning, row.distance, row.origin] for row in catalogue.classes.values())
    gates = ([row.label, row.question, ", ".join(row.lifted_by), "on" if row.by_default else "off", row.origin]
             for row in catalogue.gates.values())  # fmt: skip
    stations = (
        [row.label, ", ".join(catalogue.departments[key].label for key in row.departments), row.origin]
        for row in catalogue.stations.values()
    )
    return [
        *_table("Severities", ("", "label", "meaning", "demerit", "origin"), severities),
        *_table("Surface classes", ("", "label", "meaning", "judged from", "origin"), classes),
        *_table("Gates", ("gate", "question", "answered by", "by default", "origin"), gates),
        *_table("Stations of the line", ("station", "departments that work there", "origin"), stations),
    ]


def main(path: str) -> None:
    """Write the tables into a page, after its own words and the line that begins them."""
    page = Path(path)
    own = page.read_text("utf-8").split(BEGIN)[0]
    page.write_text(f"{own}{BEGIN}\n\n{as_markdown(builtin())}", "utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
