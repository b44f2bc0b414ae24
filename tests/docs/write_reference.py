"""Write the tables of docs/reference.md from the code: `python -m tests.docs.write_reference`.

What the code cannot say stands in `event_words.py` beside this file and in the page itself, outside the marked parts.
"""

from __future__ import annotations

import argparse
import re
import sys
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from flask import Flask

from inspect_app import create_app
from inspect_app.cli import parser
from inspect_app.journal.bodies import ONLINE_ONLY, UNIT_BODIES, Body
from inspect_app.journal.resolve import RESOLVERS
from inspect_app.trade import lifecycle

sys.path += [str(Path(__file__).parent), str(Path(__file__).parents[1] / "rooms")]
from event_words import FOLLOWS, MADE_BY_THE_SERVER, OF_THE_PLANT
from who_may import DOORS, routes

UNSAID = {"data": "the data folder", "file": "the list of units"}  # where the command line itself says nothing
PAGE = Path(__file__).parents[2] / "docs" / "reference.md"
ROOMS = {
    "people": "Signing in", "sync": "What tablets live on", "offline": "The app on the tablet", "floor": "Floor", "units": "Units", "questions": "Questions", "parts": "Parts off their vans", "plan": "Plan", "readings": "Readings", "walk": "Walk",
    "rework": "Rework", "again": "Look again", "signoff": "Sign-off", "rates": "Rates", "setup": "Setup", "": "Files",
}  # fmt: skip


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table."""
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)


# ---------------------------------------------------------------------------------------------- commands


def commands() -> str:
    """Every command with its arguments, as argparse knows them."""
    return "\n\n".join(_command(name, one) for name, one in leaves("lampwalk", parser()))


def leaves(name: str, one: argparse.ArgumentParser) -> Iterable[tuple[str, argparse.ArgumentParser]]:
    """Commands that can be run, each with its parser."""
    below = [action for action in one._actions if isinstance(action, argparse._SubParsersAction)]
    if not below:
        yield name, one
    for action in below:
        for key, sub in action.choices.items():
            yield from leaves(f"{name} {key}", sub)


def arguments(one: argparse.ArgumentParser) -> list[argparse.Action]:
    """Arguments and options of a command, without --help."""
    return [action for action in one._actions if not isinstance(action, argparse._HelpAction)]


def _command(name: str, one: argparse.ArgumentParser) -> str:
    rows = [
        [
            f"`{' '.join(filter(None, [*(action.option_strings or ['']), str(action.metavar or '')])).strip()}`",
            "yes" if action.required else f"no, {action.default}" if action.default else "no",
            action.help or UNSAID[action.dest],
        ]
        for action in arguments(one)
    ]
    return f"### `{name}`\n\n" + table(("argument", "needed", "what"), rows)


# ---------------------------------------------------------------------------------------------- routes


def addresses(app: Flask) -> str:
    """Every route by room: method, address, who may, what is answered, what it does."""
    found: dict[str, list[list[str]]] = {room: [] for room in ROOMS}
    for (method, rule), endpoint in sorted(routes(app).items(), key=lambda item: (item[0][1], item[0][0])):
        door = DOORS[(method, rule)]
        told = " ".join((app.view_functions[endpoint].__doc__ or "").split("\n\n")[0].split())
        room = endpoint.rpartition(".")[0]
        found[room].append([method, f"`{rule.replace('path:', '')}`", door.words, door.kind, told])
    heads = ("method", "address", "who may", "answers", "what it does")
    return "\n\n".join(f"### {ROOMS[room]}\n\n{table(heads, rows)}" for room, rows in found.items() if rows)


# ---------------------------------------------------------------------------------------------- events


def events() -> str:
    """Every event: its body and what follows from it."""
    mine = [name for name in UNIT_BODIES if name not in ONLINE_ONLY]
    online = [name for name in UNIT_BODIES if name in ONLINE_ONLY]
    heads = ("event", "body", "what follows")
    parts = [
        ("From a tablet, also after hours out of reach", [_event(name) for name in mine]),
        ("Done on a page of the server only", [_event(name) for name in online]),
        ("Made by the server, of a unit", [_made(name, MADE_BY_THE_SERVER) for name in MADE_BY_THE_SERVER]),
        ("Of the plant", [_made(name, OF_THE_PLANT) for name in OF_THE_PLANT]),
    ]
    return "\n\n".join(f"### {title}\n\n{table(heads, rows)}" for title, rows in parts)


def known_events() -> set[str]:
    """Every event the journal can work out."""
    return set(RESOLVERS)


def _event(name: str) -> list[str]:
    return [f"`{name}`", fields(UNIT_BODIES[name]), FOLLOWS[name]]


def _made(name: str, told: dict[str, tuple[str, str]]) -> list[str]:
    body, follows = told[name]
    return [f"`{name}`", body, follows]


def fields(body: type[Body]) -> str:
    """The fields of a body in words; one in brackets may be left out."""
    schema = body.model_json_schema()
    needed = set(schema.get("required", ()))
    parts = [f"`{name}` {shape(one)}" for name, one in schema["properties"].items() if name in needed]
    parts += [f"[`{name}` {shape(one)}]" for name, one in schema["properties"].items() if name not in needed]
    return " · ".join(parts)


def shape(schema: dict[str, Any]) -> str:
    """A JSON schema in a few words."""
    if "anyOf" in schema:
        return " or ".join(shape(one) for one in schema["anyOf"] if one.get("type") != "null")
    if "$ref" in schema:
        return str(schema["$ref"]).rsplit("/", 1)[-1]
    if "enum" in schema:
        return "/".join(map(str, schema["enum"]))
    if schema["type"] == "integer":
        bounds = [str(schema[key]) for key in ("minimum", "maximum") if key in schema]
        return " to ".join(bounds) or "number"
    if schema["type"] == "array":
        return f"list of {shape(schema['items'])}"
    if schema["type"] == "boolean":
        return "yes/no"
    return _text(schema)


def _text(schema: dict[str, Any]) -> str:
    pattern = schema.get("pattern", "")
    if pattern.startswith("^[0-9a-f]{8}-"):
        return "id"
    if pattern.startswith("^[A-Za-z0-9_"):
        return "key"
    return {"^#[0-9a-f]{6}$": "#rrggbb", "^[A-Z]{1,3}[1-9][0-9]{0,4}$": "tag"}.get(pattern, "text")


# ---------------------------------------------------------------------------------------------- lifecycle


def states() -> str:
    """The lifecycle table, one table for each entity, and the guards."""
    book = lifecycle.builtin()
    heads = ("event", "from", "to", "roles", "guards", "when the state does not fit")
    parts = [
        f"### {name.capitalize()}\n\n{table(heads, _together(row for row in book.rows if row.entity == name))}"
        for name in dict.fromkeys(row.entity for row in book.rows)
    ]
    guards = [[f"`{one.name}`", _asked(one), one.sentence] for one in book.guards.values()]
    return "\n\n".join([*parts, "### Guards\n\n" + table(("guard", "holds when", "said when it does not"), guards)])


def _together(rows: Iterable[lifecycle.Row]) -> list[list[str]]:
    """Lines of a table; events to which the same applies share one."""
    lines: dict[tuple[str, ...], list[str]] = {}
    for row in rows:
        lines.setdefault(_said(row), []).append(f"`{row.event}`")
    return [[" ".join(events), *said] for said, events in lines.items()]


def _said(row: lifecycle.Row) -> tuple[str, ...]:
    sources = "any" if "*" in row.sources else ", ".join(sorted(row.sources)).replace("none", "not there yet")
    return (
        sources,
        "stays" if row.to == "=" else row.to,
        ", ".join(sorted(row.roles)) or "anyone",
        ", ".join(f"`{name}`" for name in row.guards),
        f"{'flagged' if row.late == 'flag' else 'refused'}: {row.late_sentence}",
    )


def _asked(one: lifecycle.Guard) -> str:
    value = (
        ""
        if one.op == "given"
        else " " + (", ".join(one.value) if isinstance(one.value, list) else str(one.value).lower().replace("@", ""))
    )
    return f"{one.fact} {one.op.replace('_', ' ')}{value}"


# ---------------------------------------------------------------------------------------------- the page


def parts(app: Flask) -> dict[str, str]:
    """The written parts by their name in the page."""
    return {"commands": commands(), "routes": addresses(app), "events": events(), "lifecycle": states()}


def written(page: str, found: dict[str, str]) -> str:
    """The page with its marked parts written anew."""
    for name, text in found.items():
        page, times = re.subn(
            rf"(<!-- {name}: [^\n]*? -->\n).*?(<!-- end of {name} -->)",
            lambda marks, text=text: f"{marks[1]}\n{text}\n\n{marks[2]}",  # type: ignore[misc]
            page,
            flags=re.S,
        )
        if times != 1:
            raise ValueError(f"docs/reference.md has {times} parts '{name}'; it needs one, between its two marks")
    return page


def main() -> None:
    """Write the page anew."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(folder)
        PAGE.write_text(written(PAGE.read_text("utf-8"), parts(app)), "utf-8")
        app.extensions["lampwalk"].close()


if __name__ == "__main__":
    main()
