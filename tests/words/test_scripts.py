"""What the browser's modules say is collected: a sentence inside another's values, or in a template, would be missed."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from tests.docs.write_words import catalog

PACKAGE = Path(__file__).parents[2] / "inspect_app"
SCRIPTS = sorted(
    path
    for folder in ("client", "rooms")
    for path in (PACKAGE / folder).rglob("*.js")
    if path.name not in ("worker.js", "gettext.js")
)
SAID = re.compile(r'(?<![\w.])(?:_|N_|ngettext)\(\s*"((?:[^"\\]|\\.)*)"(?:,\s*"((?:[^"\\]|\\.)*)")?')
UNSAID = re.compile(r"(?<![\w.])(?:N_|ngettext)\(\s*[^\"\s)]|(?<![\w.])_\(\s*[`']")


@cache
def collected() -> set[str]:
    found: set[str] = set()
    for message in catalog():
        found |= set(message.id) if isinstance(message.id, tuple) else {message.id}
    return found


def missed(text: str) -> list[str]:
    """Sentences of a module that the collector does not find."""
    literals = [literal.replace('\\"', '"') for found in SAID.finditer(text) for literal in found.groups() if literal]
    return [literal for literal in literals if literal not in collected()]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_every_sentence_of_a_module_is_collected(path):
    text = path.read_text("utf-8")

    assert missed(text) == []
    assert [found[0] for found in UNSAID.finditer(text)] == []


def test_a_sentence_that_is_not_collected_is_found():
    assert missed('say(_("Nobody ever wrote this."), ngettext("%(n)s such", "%(n)s suches", n));') == [
        "Nobody ever wrote this.",
        "%(n)s such",
        "%(n)s suches",
    ]
    assert UNSAID.search("_(`in a template`)")
