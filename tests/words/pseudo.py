"""A language nobody speaks, made from the words themselves: what is on a page and not in it has bypassed the catalogue.

Every letter gets an accent and every sentence stands between ⟦ and ⟧, so that a text put together from pieces shows as
well. Values (`%(name)s`) stay as they are.
"""

from __future__ import annotations

import re
from functools import cache
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

from tests.docs.write_words import POT

PLAIN = "ABCDEFGHIJKLMNOPRSTUWYZabcdefghijklmnoprstuwyz"
ODD = "ÁƁĆĎÉƑĜĤÍĴĶĹḾŃÓṔŔŚŤÚŴÝŹáƀćďéƒĝĥíĵķĺḿńóṕŕśťúŵýź"
KEY = "eo"  # has dates and plurals of its own in the CLDR (one, other), and none of our plants speaks it
_VALUE = re.compile(r"(%\(\w+\)s|%%|<[^<>]+>|&\w+;)")  # values, and the markup of a sentence with a link in it


def said(text: str) -> str:
    """One sentence in the language nobody speaks."""
    table = str.maketrans(PLAIN, ODD)
    return "⟦" + "".join(part if _VALUE.fullmatch(part) else part.translate(table) for part in _VALUE.split(text)) + "⟧"


def write(folder: Path) -> Path:
    """Write the language's file into a folder, for `<data>/words/`; return its path."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{KEY}.po"
    path.write_bytes(_whole())
    return path


@cache
def _whole() -> bytes:
    """All words as they are collected in the package; to collect them anew takes seconds (test_collected.py holds that)."""
    whole = Catalog(locale=KEY)
    with POT.open("rb") as collected:
        words = read_po(collected)
    for message in words:
        if message.id:
            forms = tuple(said(one) for one in message.id) if isinstance(message.id, tuple) else said(message.id)
            whole.add(message.id, forms)
    out = BytesIO()
    write_po(out, whole)
    return out.getvalue()
