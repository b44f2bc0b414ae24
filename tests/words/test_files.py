"""Files of words: the template is current, a plant's own wins, plurals are the CLDR's, and a broken one is one sentence."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest
from babel.core import Locale

from inspect_app.words import gettext, lazy, ngettext, speaking
from inspect_app.words import languages as module
from inspect_app.words.languages import COUNTS, Unreadable, languages
from tests.docs.write_words import POT, written

HEAD = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=utf-8\\n"\n\n'
MARKERS = 'msgid "%(n)s marker"\nmsgid_plural "%(n)s markers"\n'
POLISH = MARKERS + 'msgstr[0] "%(n)s znacznik"\nmsgstr[1] "%(n)s znaczniki"\nmsgstr[2] "%(n)s znaczników"\n'
FORMS = ("znacznik", "znaczniki", "znaczników")


def keep(folder, name: str, text: str):
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_the_template_holds_every_sentence_there_is():
    assert POT.read_bytes() == written(), "run: python -m tests.docs.write_words"


def test_a_plants_own_file_wins_sentence_by_sentence(tmp_path, monkeypatch):
    ours = keep(
        tmp_path / "ours", "de.po", HEAD + 'msgid "Floor"\nmsgstr "Halle"\n\nmsgid "Rework"\nmsgstr "Nacharbeit"\n'
    )
    monkeypatch.setattr(module, "HERE", ours)
    own = keep(tmp_path / "own", "de.po", HEAD + 'msgid "Floor"\nmsgstr "Werkstatt"\n\nmsgid "Rework"\nmsgstr ""\n')

    german = languages(own)["de"]
    with speaking(german.translations):
        assert [gettext(text) for text in ("Floor", "Rework", "Setup")] == ["Werkstatt", "Nacharbeit", "Setup"]
    said = json.loads(german.script.decode().removeprefix("globalThis.lampwalkWords=").rstrip(";\n"))["said"]
    assert said == {"Floor": "Werkstatt", "Rework": "Nacharbeit"}


def test_a_fuzzy_sentence_is_said_in_english(tmp_path):
    found = languages(keep(tmp_path, "de.po", HEAD + '#, fuzzy\nmsgid "Floor"\nmsgstr "Boden"\n'))

    with speaking(found["de"].translations):
        assert gettext("Floor") == "Floor"


def test_polish_counts_as_the_cldr_does_on_the_server_and_in_the_browser(tmp_path):
    """The rule is Babel's copy of the Unicode CLDR: one, few, and many for the rest of the whole numbers."""
    polish = languages(keep(tmp_path, "pl.po", HEAD + POLISH))["pl"]
    told = json.loads(polish.script.decode().removeprefix("globalThis.lampwalkWords=").rstrip(";\n"))
    rule = Locale.parse("pl").plural_form
    with speaking(polish.translations):
        for n in range(1300):
            word = FORMS[("one", "few", "many").index(rule(n))]
            form = told["forms"][n if n < COUNTS else 100 + n % 100]  # client/gettext.js looks it up so
            assert ngettext("%(n)s marker", "%(n)s markers", n) == f"{n} {word}"
            assert told["said"]["%(n)s marker"][form] == f"%(n)s {word}"


def test_a_label_of_a_form_is_looked_up_when_it_is_shown(tmp_path):
    text = lazy("'%(label)s' is missing.", label=lazy("Make"))
    words = 'msgid "Make"\nmsgstr "Marke"\n\nmsgid "\'%(label)s\' is missing."\nmsgstr "%(label)s fehlt."\n'
    german = languages(keep(tmp_path, "de.po", HEAD + words))["de"]

    assert str(text) == "'Make' is missing."
    with speaking(german.translations):
        assert str(text) == "Marke fehlt."


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("de.po", "no catalogue at all\n", "cannot be read as a gettext catalogue"),
        ("de.po", HEAD + 'msgid "Floor\nmsgstr "Halle"\n', "cannot be read as a gettext catalogue"),
        ("klingon.po", HEAD, "is no language; name the file as in de.po"),
        ("de.po", HEAD + 'msgid "%(tag)s kept"\nmsgstr "%(tagg)s gemerkt"\n', "no value %(tagg)s"),
        ("de.po", HEAD + 'msgid "%(tag)s kept"\nmsgstr "%(tag)s zu 100 % gemerkt"\n', "as %% in a sentence"),
        ("pl.po", HEAD + POLISH.replace('msgstr[2] "%(n)s znaczników"\n', ""), "has 3 forms of a counted sentence"),
    ],
)
def test_a_file_that_would_fail_later_is_refused_in_one_sentence(tmp_path, name, text, sentence):
    with pytest.raises(Unreadable) as refused:
        languages(keep(tmp_path, name, text))

    assert sentence in str(refused.value)
    assert name in str(refused.value)


def test_a_broken_file_ends_the_server_with_one_sentence_and_leaves_the_folder_free(tmp_path):
    folder = tmp_path / "data"
    keep(folder / "words", "de.po", 'msgid "Floor"\nmsgstr Halle\n')
    command = [sys.executable, "-m", "inspect_app", "serve", "--data", str(folder), "--port", "0"]
    run = subprocess.run(command, capture_output=True, text=True, timeout=120, env={**os.environ, "PYTHONUTF8": "1"})

    assert run.returncode == 1
    assert "Traceback" not in run.stderr
    assert run.stderr.count("\n") == 1
    assert "de.po cannot be read as a gettext catalogue" in run.stderr
    assert not (folder / "lampwalk.db").exists()
