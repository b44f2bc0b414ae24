"""Pages that a tablet keeps for the time without the server are kept in the language of whoever has the tablet."""

from __future__ import annotations

import json
import re

import pytest

from inspect_app import create_app
from inspect_app.rooms.offline import shells
from tests.words import pseudo


@pytest.fixture
def app(speaking):
    """The application with the language nobody speaks."""
    return speaking


def told(app, **cookies: str) -> dict:
    """What the worker of a tablet with these cookies is told to keep."""
    client = app.test_client()
    for name, value in cookies.items():
        client.set_cookie(name, value)
    return json.loads(re.match(r"const KEPT = (.*);\n", client.get("/sw.js").text)[1])


def test_the_worker_is_told_the_pages_and_the_words_of_the_tablets_language(app):
    kept = told(app, language="eo", formats="pl_PL")

    assert kept["shells"]["walk"] == "/shell/walk?language=eo&formats=pl_PL"
    (words,) = [address for address in kept["assets"] if "/words/" in address]
    assert re.fullmatch(r"/e/[0-9a-f]+/words/eo\.js", words)
    page = app.test_client().get(kept["shells"]["walk"]).text  # the worker asks without cookies
    assert f'<script src="{words}">' in page
    assert 'lang="eo" data-formats="pl-PL"' in page
    assert pseudo.said("Finish the walk") in page


def test_in_english_and_the_house_form_nothing_is_different(app):
    kept = told(app)

    assert kept["shells"]["walk"] == "/shell/walk"
    assert not [address for address in kept["assets"] if "/words/" in address]
    assert 'lang="en" data-formats=""' in app.test_client().get("/shell/walk").text


def test_another_language_or_way_of_writing_is_another_version(app):
    versions = [
        told(app, **cookies)["version"]
        for cookies in ({}, {"language": "eo"}, {"formats": "de_DE"}, {"language": "eo", "formats": "de_DE"})
    ]

    assert len(set(versions)) == 4
    assert told(app, language="eo")["version"] == versions[1]


def test_a_sentence_mended_is_another_version(tmp_path):
    versions = []
    for text in ("Halle", "Werkstatt"):
        folder = tmp_path / text
        (folder / "words").mkdir(parents=True)
        words = f'msgid "Kept nowhere but in a script"\nmsgstr "{text}"\n'
        (folder / "words" / "de.po").write_text(words, encoding="utf-8")
        app = create_app(folder, TESTING=False)
        versions.append(told(app, language="de")["version"])
        app.extensions["lampwalk"].close()

    assert versions[0] != versions[1]


def test_a_page_says_the_version_of_its_reader(app):
    client = app.test_client()
    client.set_cookie("language", "eo")

    assert client.get("/first").headers["X-Lampwalk-Version"] == told(app, language="eo")["version"]


@pytest.mark.parametrize("query", ["language=tlh", "formats=xx_YY_zz", "language=eo&formats=..%2F"])
def test_pages_in_a_language_there_is_not_are_not_there(app, query):
    assert app.test_client().get(f"/shell/walk?{query}").status_code == 404


def test_not_more_ways_of_reading_are_kept_ready_than_a_plant_has(app):
    from inspect_app.rooms.tongue_forms import OFFERED

    client = app.test_client()
    for language in ("en", "eo"):
        for formats in (*OFFERED, "sk_SK", "ro_RO", "el_GR"):
            assert client.get(f"/shell/floor?language={language}&formats={formats}").status_code == 200

    assert len(app.extensions[shells.KEPT]) == shells.MOST
