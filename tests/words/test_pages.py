"""Whatever a person reads on a page of the server is in their language.

Every page is asked for in a language nobody speaks (pseudo.py), in which each sentence stands between ⟦ and ⟧. What is
left outside of them and is not the plant's own data has bypassed the catalogue. Dates are written as in Russian here,
so that a weekday or month that was put together in English is found as well.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from flask import render_template_string

from inspect_app import create_app
from tests.compiled import COMPILED
from tests.rooms.who_may import DOORS, PAGE
from tests.words import pseudo
from tests.words.full_plant import Full, filled

SILENT = ("script", "style", "textarea")  # what stands in a textarea was typed by people
SPOKEN = ("aria-label", "title", "placeholder", "alt", "data-label", "data-says")
# Not words: our own name, paper, units and devices by their names, and what is typed as it stands.
NAMES = re.compile(
    r"\b(Lampwalk|A4|iPad|Android|Windows|GU|csv|UTC|Europe/\w+|MB|S[1-5]|https?://[\w.:/-]+|localhost)\b"
)
PAGES = sorted(rule for (method, rule), door in DOORS.items() if method == "GET" and door.kind == PAGE)


class Reader(HTMLParser):
    """Gathers what of a page stands outside of every ⟦ and ⟧; a sentence may run through tags."""

    def __init__(self) -> None:
        super().__init__()
        self.outside: list[str] = []
        self._depth = 0
        self._silent = 0
        self._own = False  # within translate="no" (HTML): somebody's own writing

    def handle_starttag(self, tag, attrs):
        if tag in SILENT:
            self._silent += 1
        self._own = dict(attrs).get("translate") == "no"
        self.outside += [without(value) for name, value in attrs if name in SPOKEN and value]
        if tag == "input" and dict(attrs).get("type") in ("submit", "button"):
            self.outside.append(without(dict(attrs).get("value") or ""))

    def handle_endtag(self, tag):
        self._silent -= tag in SILENT
        self._own = False

    def handle_data(self, text):
        if self._silent or self._own:
            return
        kept = []
        for letter in text:
            self._depth += (letter == "⟦") - (letter == "⟧")
            if self._depth == 0 and letter != "⟧":
                kept.append(letter)
        self.outside.append("".join(kept))


def without(text: str) -> str:
    """The text without its sentences."""
    while "⟦" in text:
        fewer = re.sub(r"⟦[^⟦⟧]*⟧", " ", text)
        if fewer == text:
            break
        text = fewer
    return text


def bypassed(page: str, data: list[str]) -> list[str]:
    """Texts of a page that have two letters of English in a row and are neither said nor the plant's data."""
    reader = Reader()
    reader.feed(page)
    found = []
    for text in reader.outside:
        left = " ".join(text.split())
        for known in data:
            left = left.replace(known, " ")
        if re.search(r"[A-Za-z]{2}", NAMES.sub(" ", left)):
            found.append(" ".join(text.split()))
    return found


@pytest.fixture(scope="module")
def full(tmp_path_factory) -> Full:
    folder = tmp_path_factory.mktemp("words") / "data"
    pseudo.write(folder / "words")
    app = create_app(folder, TESTING=False)
    app.jinja_env.bytecode_cache = COMPILED
    yield filled(app)
    app.extensions["lampwalk"].close()


@pytest.mark.parametrize("who", ["maud", "ines", "per"])
def test_nothing_on_a_page_bypasses_the_catalogue(full, who):
    client, seen = full.client(who), {}
    for rule in PAGES:
        for address in full.addresses(rule):
            answer = client.get(address)
            assert answer.status_code in (200, 302, 403, 422), f"{address}: {answer.status_code}"
            page = "" if answer.status_code == 302 else answer.text
            seen = dict.fromkeys(bypassed(page, full.data), address) | seen

    assert seen == {}


def test_a_bare_word_in_a_template_is_found(full):
    with full.app.test_request_context(headers={"Cookie": f"language={pseudo.KEY}"}):
        full.app.preprocess_request()
        page = render_template_string(
            '<p title="Bare">{{ _("Sign in") }} by {{ name }}</p><p>{{ _("Sign out") }}</p>', name="Ines Okafor"
        )

    assert bypassed(page, ["Ines Okafor"]) == ["Bare", "by Ines Okafor"]
