"""The file to translate has all that people read, and nothing that programs read."""

import re
import tomllib
from functools import cache
from importlib.resources import files
from xml.etree import ElementTree

import pytest

from inspect_app.trade import catalogue, lifecycle, outline
from tests.docs.write_words import POT, catalog, written

TRADE = files("inspect_app.trade")


@cache
def collected():
    return {text for message in catalog() for text in (message.id if isinstance(message.id, tuple) else (message.id,))}


def test_the_file_to_translate_is_what_the_code_says():
    assert POT.read_bytes() == written(), "run: python -m tests.docs.write_words"


def test_every_name_and_text_of_the_catalogue_is_in_it():
    ours = catalogue.builtin()
    rows = [
        row
        for table in (ours.kinds, ours.methods, ours.departments, ours.cautions, ours.severities, ours.classes)
        for row in table.values()
    ]
    texts = {row.label for row in rows} | {step for method in ours.methods.values() for step in method.steps}
    texts |= {step.text for method in ours.methods.values() for step in method.chain}
    texts |= {text for one in ours.cautions.values() for text in (one.danger, one.wear, one.wait)}
    texts |= {gate.question for gate in ours.gates.values()} | {limit.text for limit in ours.limits}

    assert sorted(texts - collected()) == []


def test_every_label_of_the_outline_is_in_it():
    van = outline.builtin()
    labels = {van.label} | {view.label for view in van.views} | {zone.label for zone in van.zones}
    labels |= {joint.label for view in van.views for joint in view.joints} | {part.label for part in van.parts}

    assert sorted(labels - collected()) == []


def test_every_sentence_of_the_lifecycle_is_in_it():
    table = lifecycle.builtin()
    sentences = {guard.sentence for guard in table.guards.values()} | {row.late_sentence for row in table.rows}

    assert sorted(sentences - collected()) == []


def origins(value, key=""):
    if isinstance(value, dict):
        for inner, below in value.items():
            yield from origins(below, inner)
    elif isinstance(value, list):
        for below in value:
            yield from origins(below, key)
    elif key == "origin":
        yield value


@pytest.mark.parametrize(
    "name", sorted(one.name for one in (TRADE / "catalogue").iterdir() if one.name.endswith("toml"))
)
def test_no_origin_is_in_it(name):
    found = set(origins(tomllib.loads((TRADE / "catalogue" / name).read_text("utf-8"))))

    assert found
    assert sorted(found & collected()) == []


def test_no_id_and_no_number_is_in_it():
    ours, van = catalogue.builtin(), ElementTree.fromstring(outline.builtin().to_svg())  # noqa: S314 - our own drawing
    ids = {key for key in (*ours.kinds, *ours.methods) if "_" in key} | {node.get("id") for node in van.iter()}

    assert sorted(one for one in ids & collected() if one and re.search(r"[_.]", one)) == []
    assert sorted(text for text in collected() if text and not re.search(r"[^\W\d_]", text)) == []
