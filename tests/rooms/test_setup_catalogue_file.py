"""The catalogue as a file: out, in again, every fault a sentence with its line, nothing kept before it was seen."""

from __future__ import annotations

import gc
import io
import re
import tomllib
import warnings

import pytest
from desk import Desk, said

PAGE = "/setup/catalogue/import"


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def exported(maud) -> str:
    return maud.get("/setup/catalogue.toml").text


def bring(maud, text: str | bytes, **more):
    """Send a file from the import page; without `keep` it is only looked at."""
    raw = text.encode() if isinstance(text, str) else text
    made_from = re.search(r'name="made_from"[^>]*value="(\w+)"', maud.get(PAGE).text)[1]
    return maud.send(PAGE, file=(io.BytesIO(raw), "catalogue.toml"), made_from=made_from, **more)


def line_of(text: str, words: str) -> int:
    return text[: text.index(words)].count("\n") + 1


def faults(answer) -> list[str]:
    return [
        said(type("Part", (), {"text": one})).strip()
        for one in re.findall(r'<li><b class="keep">.*?</li>', answer.text)
    ]


def published(plant) -> int:
    sql = "SELECT count(*) FROM events WHERE type = 'catalogue_published'"
    return plant.journal.read().execute(sql).fetchone()[0]


def test_what_goes_out_is_toml_and_comes_in_as_the_same(plant, maud):
    answer = maud.get("/setup/catalogue.toml")

    assert tomllib.loads(answer.text)["kinds"]["nib"]["label"] == "dirt nib"  # Python's own reader of TOML 1.0
    assert answer.headers["Content-Disposition"] == 'attachment; filename="lampwalk-catalogue-1.toml"'
    assert "Nothing: it is the catalogue in force." in said(bring(maud, answer.text))


def test_a_changed_file_is_shown_first_and_published_on_a_second_word(plant, maud):
    text = exported(maud).replace('label = "dirt nib"', 'label = "dust nib"')

    shown = bring(maud, text)
    assert "dirt nib is now → dust nib" in said(shown)
    assert published(plant) == 1

    kept = maud.client.post(
        PAGE,
        data={
            **{name: re.search(rf'name="{name}"[^>]*value="([^"]+)"', shown.text)[1] for name in ("csrf_token", "made_from")},
            "text": text, "keep": "Publish", "why": "As the shop says it",
        },
    )  # fmt: skip
    assert (kept.status_code, plant.journal.catalogue().kind("nib").label) == (302, "dust nib")
    words = maud.words("/setup/catalogue/versions")
    assert "Maud Esterházy, in force As the shop says it" in words


def test_a_kind_that_the_file_leaves_out_is_retired_and_a_part_that_is_left_out_stays(plant, maud):
    text = exported(maud)
    swirl = re.search(r"\[kinds\.swirl\]\n.*?\n\n", text, re.S)[0]
    limits = [one for one in re.findall(r"\[\[limits\]\]\n.*?\n(?=\[\[|\Z)", text, re.S) if '"swirl"' in one]
    for row in (swirl, *limits):
        text = text.replace(row, "")
    text = text[: text.index("[gates.")] + text[text.index("[walks.") :]

    assert bring(maud, text, keep="Publish").status_code == 302

    found = plant.journal.catalogue()
    assert (found.kind("swirl").retired, found.limit("swirl", "A"), len(found.gates)) == (True, None, 14)


@pytest.mark.parametrize(
    ("was", "becomes", "at", "sentence"),
    [
        ("[kinds.nib]", "[kinds.nib", "[kinds.nib", "this cannot be read as TOML: expected"),
        ('label = "dirt nib"', 'lable = "dirt nib"', 'lable = "dirt nib"', "'kinds.nib.lable' is not known here"),
        ('label = "dirt nib"', "label = 5", "label = 5", "'kinds.nib.label' must be a text (got 5)"),
        ("everyday = 1", "everyday = 6", "everyday = 6", "the everyday kinds must fill the places 1 to 5 once each"),
        (
            'method = "denib_polish"', 'method = "magic"', 'method = "magic"',
            "kind 'nib' names the method 'magic', which does not exist",
        ),
        (
            "minutes_base = 5\nminutes_spot = 4", "minutes_base = 0\nminutes_spot = 0", "minutes_base = 0",
            "step 1 of method 'denib_polish' has no minutes; give it at least one",
        ),
        (
            'surface_class = "B"\nmax_size = 8\nmax_count = 3', 'surface_class = "B"\nmax_size = 3\nmax_count = 3',
            "max_size = 3\nmax_count = 3", "kind 'nib' is judged harder on class B than on class A",
        ),
    ],
)  # fmt: skip
def test_a_fault_is_a_sentence_with_its_line_and_nothing_is_stored(plant, maud, was, becomes, at, sentence):
    text = exported(maud)
    assert was in text
    spoilt = text.replace(was, becomes, 1)

    answer = bring(maud, spoilt, keep="Publish")

    assert answer.status_code == 422
    assert any(one.startswith(f"Line {line_of(spoilt, at)} {sentence}") for one in faults(answer)), faults(answer)
    assert published(plant) == 1


def test_a_loop_of_waiting_in_a_file_names_its_line(plant, maud):
    text = exported(maud).replace("[methods.denib_polish]", '[methods.denib_polish]\nwaits_for = ["machine_polish"]', 1)

    [fault] = faults(bring(maud, text))

    closes = text.index("waits_for", text.index("[methods.machine_polish]"))
    assert fault.startswith(f"Line {text[:closes].count(chr(10)) + 1} no method of this loop could ever begin")


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        (b"", "this file is empty; choose another one"),
        (b"a = 1\nb = \xff\xfe", "Line 2 this is no text in UTF-8"),
        (b"x" * 1_000_001, "this file is too large for a catalogue"),
        (b"[kinds]\nnib = 5", "Line 2 'kinds.nib' must be a table: [kinds.nib]"),
        (b'colour = "red"', "'colour' is not known here"),
        (b"[[kinds]]\nlabel = 5", "'kinds' must be tables, each with a key: [kinds.key]"),
        (b"limits = 5", "Line 1 'limits' must be a list of tables: [[limits]]"),
    ],
)
def test_what_is_no_catalogue_at_all_is_one_sentence(plant, maud, sent, sentence):
    answer = bring(maud, sent, keep="Publish")

    assert answer.status_code == 422
    assert sentence in said(answer)
    assert published(plant) == 1


def test_an_upload_that_goes_to_the_disk_leaves_no_file_open(plant, maud):
    """Neither what the server has put aside of it nor what the test client has written of it to be sent."""
    gc.collect()
    with warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always", ResourceWarning)
        assert bring(maud, b"x" * 1_000_001).status_code == 422
        gc.collect()

    assert [str(one.message) for one in told if one.category is ResourceWarning] == []
