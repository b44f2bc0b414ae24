"""Collect every sentence that is said to people into inspect_app/words/lampwalk.pot: `python -m tests.docs.write_words`.

A second language is a copy of that file with the translations filled in, named `de.po` (docs/languages.md).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import IO, Any

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import write_po

from inspect_app.trade import outline

PACKAGE = Path(__file__).parents[2] / "inspect_app"
POT = PACKAGE / "words" / "lampwalk.pot"
METHODS = [
    ("rooms/**/templates/**.html", "jinja2.ext:babel_extract"),
    ("rooms/offline/worker.js", "ignore"),
    ("**.js", "javascript"),
    ("**.py", "python"),
    ("trade/catalogue/*.toml", f"{__name__}:of_catalogue"),
    ("trade/lifecycle.toml", f"{__name__}:of_catalogue"),
    ("trade/outlines/*.svg", f"{__name__}:of_outline"),
]
KEYWORDS = {
    "_": None, "gettext": None, "lazy": None, "N_": None, "ngettext": (1, 2),
}  # fmt: skip
# Fields of the catalogue and of the lifecycle that people read. The rest are keys, numbers, and where a value comes from.
READ = {
    "act", "clause", "danger", "describe", "hint", "label", "late_sentence", "materials",
    "meaning", "question", "sentence", "short", "steps", "text", "timer", "wait", "wear",
}  # fmt: skip

Found = Iterator[tuple[int, str | None, str, list[str]]]


def of_catalogue(file: IO[bytes], *_told: Any, **_options: Any) -> Found:
    """Texts that people read in a file of the catalogue."""
    yield from ((0, None, text, []) for text in _read(tomllib.load(file)))


def _read(value: Any, key: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for inner, below in value.items():
            yield from _read(below, inner)
    elif isinstance(value, list):
        for below in value:
            yield from _read(below, key)
    elif isinstance(value, str) and key in READ and re.search(r"[A-Za-z]{2}", value):
        yield value


def of_outline(file: IO[bytes], *_told: Any, **_options: Any) -> Found:
    """Its name, and the labels of views, zones, joints and parts; those of parts are worked out from their zones."""
    van = outline.load(file.read().decode())
    joints = [joint.label for view in van.views for joint in view.joints]
    drawn = [one.label for one in van.views] + [one.label for one in van.zones] + [one.label for one in van.parts]
    yield from ((0, None, label, []) for label in dict.fromkeys([van.label, *drawn, *joints]))


@cache  # to collect them takes seconds
def catalog() -> Catalog:
    """Every sentence, with the files it stands in."""
    whole = Catalog(project="Lampwalk", charset="utf-8", header_comment="# What Lampwalk says to people.")
    options = {"*": {"silent": "false", "encoding": "utf-8", "trimmed": "true"}}
    found = extract_from_dir(PACKAGE, METHODS, {pattern: options["*"] for pattern, _ in METHODS}, KEYWORDS)
    for name, _line, text, _comments, context in sorted(found, key=lambda one: (one[0], one[1])):
        if text and text != "":
            whole.add(text, locations=[(name, 0)], context=context)
    return whole


def written() -> bytes:
    """The file as it should stand."""
    out = BytesIO()
    write_po(out, catalog(), omit_header=True, include_lineno=False, width=120, sort_output=True)
    return out.getvalue()


if __name__ == "__main__":
    POT.write_bytes(written())
    print(f"{POT.name}: {len(catalog())} sentences")
