"""The cast of the demo, read from people.toml: hired, each with a tablet of their own; their sign-ins as a table."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inspect_app.journal import Journal
from inspect_app.journal.journal import PLANT
from inspect_app.trade import catalogue
from sample_units.hands import Hands, admit, hire

FILE = Path(__file__).with_name("people.toml")
MORE = Path(__file__).parent / "half_year" / "people.toml"  # who works in the half-year plant beside them


@dataclass(frozen=True, kw_only=True)
class Person:
    """One of the cast."""

    key: str
    name: str
    roles: tuple[str, ...]
    departments: tuple[str, ...]
    pin: str
    tablet: str

    @property
    def does(self) -> str:
        """Roles and departments in words."""
        labels = catalogue.builtin().departments
        of = ", ".join(labels[key].label for key in self.departments)
        return ", ".join(self.roles) + (f" ({of})" if of else "")


def cast(file: Path = FILE) -> tuple[Person, ...]:
    """Everyone of a file, in the order of their tablets' letters."""
    return tuple(_person(row) for row in _file(file)["people"])


def everyone() -> tuple[Person, ...]:
    """The cast, and those beside it in the half-year plant."""
    return (*cast(), *cast(MORE))


def settings() -> dict[str, str]:
    """The plant's settings."""
    return dict(_file()["plant"])


def _file(file: Path = FILE) -> dict[str, Any]:
    return tomllib.loads(file.read_text(encoding="utf-8"))


def _person(row: dict[str, Any]) -> Person:
    return Person(**{**row, "roles": tuple(row["roles"]), "departments": tuple(row.get("departments", ()))})


def hire_all(journal: Journal, people: Sequence[Person]) -> dict[str, Hands]:
    """Hire the cast, admit and name their tablets, and return their hands by key."""
    found = {}
    for person in people:
        key = hire(journal, person.name, person.roles, person.departments, person.pin)
        tablet = admit(journal)
        journal.record_server(PLANT, "tablet_named", {"tablet": tablet, "name": person.tablet})
        found[person.key] = Hands(journal, key, tablet, person.roles, person.departments)
    return found


def table(people: Sequence[Person]) -> str:
    """The sign-ins in columns."""
    rows = [("Name", "PIN", "Roles (departments)"), *((one.name, one.pin, one.does) for one in people)]
    widths = [max(len(row[column]) for row in rows) for column in (0, 1)]
    lines = [f"  {name:<{widths[0]}}   {pin:<{widths[1]}}   {does}" for name, pin, does in rows]
    rule = f"  {'─' * widths[0]}   {'─' * widths[1]}   {'─' * max(len(row[2]) for row in rows)}"
    return "\n".join([lines[0], rule, *lines[1:]])
