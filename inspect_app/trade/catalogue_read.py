"""Reading catalogues: from the TOML files that come with the program, and from the JSON kept in the journal."""

import json
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from pydantic import TypeAdapter, ValidationError

from inspect_app.trade.catalogue import KEYED, Catalogue, CatalogueError

FILES = (
    *("departments", "kinds_paint", "kinds_film", "kinds_fit", "kinds_seal", "methods", "methods_parts"),
    *("cautions", "classes", "severities", "limits", "gates", "walks", "stations"),
)
# Fields that came later. Left out where they say nothing, so that a catalogue published before keeps its hash.
LATER: dict[str, Any] = {
    "retired": False,
    "paint": None,
    "waits_for": [],
    "timer": "",
    "timer_minutes": 0,
    "timer_least": 0,
}


def read_builtin() -> Catalogue:
    """Read the files under `trade/catalogue/` into one catalogue.

    Raises:
        CatalogueError: a file is not TOML, or holds a table or field that is not known.
    """
    folder = files("inspect_app.trade") / "catalogue"
    return load(assemble((folder / f"{name}.toml").read_text("utf-8") for name in FILES))


def assemble(texts: Iterable[str]) -> dict[str, Any]:
    """Join TOML texts into the plain form of a catalogue; rows of a table follow each other in reading order."""
    return joined(map(_parse, texts))


def joined(read: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """Do what `assemble` does, of texts that were read."""
    whole: dict[str, Any] = {part: {} for part in KEYED} | {"limits": []}
    for named in read:
        for part, value in named.items():
            if part in KEYED:
                _add_rows(whole[part], part, value)
            elif part == "limits":
                whole["limits"] += value
            else:
                whole[part] = value
    return whole


def _parse(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise CatalogueError(f"this catalogue file is not TOML: {fault}") from fault


def _add_rows(rows: dict[str, Any], part: str, more: Mapping[str, Any]) -> None:
    for key, row in more.items():
        if key in rows:
            raise CatalogueError(f"{part}: '{key}' is there twice; keep one of them")
        rows[key] = {"key": key, "order": len(rows), **row}


def load(data: Mapping[str, Any]) -> Catalogue:
    """Return the catalogue for its plain form, with rows back in their own order; see `catalogue.from_json`."""
    try:
        return validated(data)
    except ValidationError as fault:
        raise CatalogueError(_sentence(fault)) from fault


def validated(data: Mapping[str, Any]) -> Catalogue:
    """Like `load`, but raises pydantic's ValidationError, which knows the place of every fault."""
    plain = {part: _ordered(part, value) if part in KEYED else value for part, value in data.items()}
    return _adapter().validate_json(json.dumps(plain), strict=True)


def _ordered(part: str, rows: Any) -> Any:
    if not isinstance(rows, Mapping) or not all(isinstance(row, Mapping) for row in rows.values()):
        raise CatalogueError(f"{part} must map each key to its row")
    for key, row in rows.items():
        if row.get("key") != key:
            raise CatalogueError(f"{part}.{key} calls itself '{row.get('key')}'; both names must agree")
    return dict(sorted(rows.items(), key=lambda item: _order(item[1])))


def _order(row: Mapping[str, Any]) -> int:
    order = row.get("order", 0)
    return order if isinstance(order, int) else 0


def dump(catalogue: Catalogue) -> dict[str, Any]:
    """Return the plain form of a catalogue: only JSON values."""
    plain: dict[str, Any] = _adapter().dump_python(catalogue, mode="json")
    for part in ("options", "stations"):
        if not plain[part]:
            del plain[part]
    if plain["rules"] is None:
        del plain["rules"]
    for rows in plain.values():
        for row in rows.values() if isinstance(rows, dict) else rows if isinstance(rows, list) else ():
            for name in [name for name, nothing in LATER.items() if name in row and row[name] == nothing]:
                del row[name]
    return plain


@cache
def _adapter() -> TypeAdapter[Catalogue]:
    return TypeAdapter(Catalogue)


def _sentence(fault: ValidationError) -> str:
    first = fault.errors(include_url=False)[0]
    where = ".".join(str(step) for step in first["loc"])
    message = first["msg"][:1].lower() + first["msg"][1:]
    more = f" (and {fault.error_count() - 1} more)" if fault.error_count() > 1 else ""
    return f"{where}: {message}{more}"
