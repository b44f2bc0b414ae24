"""docs/reference.md names every command, setting, route, event and state that there is, and no other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from event_words import FOLLOWS, MADE_BY_THE_SERVER, OF_THE_PLANT
from write_reference import PAGE, arguments, known_events, leaves, parts, routes, written
from wtforms.fields.core import UnboundField

from inspect_app.cli import parser
from inspect_app.journal.bodies import ONLINE_ONLY, UNIT_BODIES
from inspect_app.journal.project import PROJECTORS
from inspect_app.rooms.setup.forms import PlantForm
from inspect_app.trade import lifecycle

PACKAGE = Path(__file__).parents[2] / "inspect_app"
TEXT = PAGE.read_text("utf-8")


def test_the_page_is_what_the_code_says(app):
    assert written(TEXT, parts(app)) == TEXT, "run: .venv/bin/python -m tests.docs.write_reference"


def test_every_command_and_option_is_there():
    told = {(name, argument.dest) for name, one in leaves("lampwalk", parser()) for argument in arguments(one)}

    assert told >= {("lampwalk serve", "data"), ("lampwalk units import", "file"), ("lampwalk verify", "data")}
    for name, one in leaves("lampwalk", parser()):
        section = TEXT.split(f"### `{name}`\n")[1].split("\n#")[0]
        assert [
            word for a in arguments(one) for word in (a.option_strings or [a.metavar]) if f"`{word}" not in section
        ] == []


def test_every_setting_is_there_and_no_other():
    of_the_form = {name for name in dir(PlantForm) if isinstance(getattr(PlantForm, name), UnboundField)} - {"save"}
    sources = [file.read_text("utf-8") for file in PACKAGE.rglob("*.py")]
    asked_for = {name for text in sources for name in re.findall(r"settings WHERE name = '(\w+)'", text)}
    told = set(re.findall(r"^\| `(\w+)` \|", TEXT.split("## Settings")[1].split("### ")[0], re.M))

    assert told == of_the_form
    assert asked_for <= told


def test_every_route_is_there(app):
    table = TEXT.split("<!-- routes:")[1].split("<!-- end of routes")[0]

    for method, rule in routes(app):
        assert f"| {method} | `{rule.replace('path:', '')}` |" in table


@pytest.mark.parametrize("event", sorted(known_events()))
def test_every_event_is_there_with_what_follows(event):
    assert event in FOLLOWS | MADE_BY_THE_SERVER | OF_THE_PLANT
    assert f"| `{event}` |" in TEXT.split("## Events")[1].split("## Lifecycle")[0]


def test_no_event_is_told_that_the_journal_does_not_know():
    told = {*FOLLOWS, *MADE_BY_THE_SERVER, *OF_THE_PLANT}

    assert told == known_events()
    assert set(FOLLOWS) == set(UNIT_BODIES)
    assert known_events() == set(PROJECTORS)
    assert set(UNIT_BODIES) >= ONLINE_ONLY


def test_every_row_of_the_lifecycle_is_there():
    told = TEXT.split("## Lifecycle")[1]
    table = lifecycle.builtin()

    for row in table.rows:
        section = told.split(f"### {row.entity.capitalize()}\n")[1].split("\n#")[0]
        lines = [line for line in section.splitlines() if f"`{row.event}`" in line.split(" | ")[0]]
        wanted = [row.late_sentence, *row.roles, *(f"`{guard}`" for guard in row.guards)]
        assert any(all(one in line for one in wanted) for line in lines), (row.event, wanted)
    assert [name for name in table.guards if f"| `{name}` |" not in told] == []
