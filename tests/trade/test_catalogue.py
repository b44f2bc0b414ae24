"""The builtin catalogue: what it must hold, how it is kept as JSON, and what outside it agrees with."""

import hashlib
import json
import re
from dataclasses import replace

import pytest

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade.catalogue_read import assemble

CATALOGUE = catalogues.builtin()


def test_the_builtin_catalogue_has_no_fault():
    assert catalogues.check(CATALOGUE) == []


def test_there_are_all_kinds_methods_cautions_and_gates():
    counts = [len(CATALOGUE.kinds), len(CATALOGUE.methods), len(CATALOGUE.cautions), len(CATALOGUE.gates)]

    assert counts == [48, 22, 14, 14]  # the shop floor's list: common practice, no source


def test_the_everyday_kinds_keep_their_places():
    assert [kind.key for kind in CATALOGUE.everyday()] == ["nib", "run", "orange_peel", "gap", "chip"]


def test_demerits_are_the_classic_four_class_weights():
    weights = [severity.demerit for severity in CATALOGUE.severities.values()]

    assert weights == [100, 50, 10, 1, 0]  # Dodge's demerit classes, from memory; notes weigh nothing


def test_nobody_concedes_what_is_unsafe_and_two_concede_what_will_not_last():
    approvers = {key: severity.approvers for key, severity in CATALOGUE.severities.items()}

    assert approvers == {"S1": None, "S2": 2, "S3": 1, "S4": 1, "S5": 0}


def test_a_dent_with_broken_paint_goes_from_body_to_paint_to_polish():
    chain = [step.department for step in CATALOGUE.method("dent_refinish").chain]

    assert chain == ["body", "paint", "polish"]


def test_paint_that_lets_go_is_never_touched_in():
    kinds = [CATALOGUE.kind(key) for key in ("flaking", "blister", "cracking")]

    assert {kind.method_for("plastic") for kind in kinds} == {"strip_refinish"}  # common practice, no source
    assert {kind.method_for("metal") for kind in kinds} == {"refinish"}  # a door is not stripped as a moulding is
    assert CATALOGUE.kind("nib").method_for("metal") == CATALOGUE.kind("nib").method


@pytest.mark.parametrize(("method", "low", "high"), [("spot_repair", 90, 120), ("refinish", 180, 300)])
def test_refinishing_on_the_van_includes_masking_it(method, low, high):
    chain = CATALOGUE.method(method).chain

    assert low <= sum(step.minutes_base + step.minutes_spot for step in chain) <= high  # common practice, no source


@pytest.mark.parametrize("pieces", [10, 12, 14])
def test_a_set_of_mouldings_takes_ten_to_fifteen_hours(pieces):
    batch = CATALOGUE.method("strip_refinish").batch

    assert 10 * 60 <= batch.minutes_set + pieces * batch.minutes_piece <= 15 * 60  # common practice, no source


def test_fire_is_watched_for_half_an_hour_after_flame():
    assert "at least 30 minutes" in CATALOGUE.cautions["flame"].wait  # 29 CFR 1910.252(a)(2)(iii)
    assert "within 11 m" in CATALOGUE.cautions["flame"].wait  # the same section: 35 ft


def test_the_clause_puts_data_sheet_law_and_training_first():
    for words in ("safety data sheet", "local law and codes", "licensed practice", "they win"):
        assert words in CATALOGUE.clause


def test_each_caution_says_danger_wear_and_wait():
    for caution in CATALOGUE.cautions.values():
        assert all(words.endswith(".") for words in (caution.danger, caution.wear, caution.wait)), caution.key


def test_no_caution_is_left_unused():
    used = {key for method in CATALOGUE.methods.values() for key in method.cautions}

    assert used == set(CATALOGUE.cautions)


def test_six_gates_are_on_by_default():
    on = [gate.key for gate in CATALOGUE.gates_by_default()]

    assert on == ["identity", "marks", "coverage", "parts", "water", "release"]  # common practice, no source


def test_every_walk_that_counts_covers_laps_and_the_incoming_one_does_not_count():
    assert not CATALOGUE.walks["incoming"].counts_for_coverage
    assert CATALOGUE.walks["first"].laps == tuple(CATALOGUE.laps)


def test_labels_are_shop_english_and_no_codes():
    rows = (*CATALOGUE.kinds.values(), *CATALOGUE.methods.values(), *CATALOGUE.cautions.values())

    assert [row.label for row in rows if re.search(r"\b[A-Z]\d\d?\b|_", row.label)] == []
    assert len({row.label for row in rows}) == len(rows)


def test_json_brings_the_same_catalogue_back_even_with_its_keys_sorted():
    kept = json.loads(json.dumps(CATALOGUE.to_json(), sort_keys=True))

    again = catalogues.from_json(kept)

    assert again == CATALOGUE
    assert list(again.kinds) == list(CATALOGUE.kinds)
    assert again.hash == CATALOGUE.hash


def test_changing_one_figure_changes_the_hash():
    limit = replace(CATALOGUE.limits[0], max_size=6)
    other = replace(CATALOGUE, limits=(limit, *CATALOGUE.limits[1:]))

    assert other.hash != CATALOGUE.hash
    assert re.fullmatch(r"[0-9a-f]{64}", other.hash)


@pytest.mark.parametrize("clause", ["", "Größe ≤ 2 – “so”", "a\tb\x7f\u2028 😀", '"\\/'])
def test_the_hash_is_that_of_the_json_that_python_writes(clause):
    other = replace(CATALOGUE, clause=clause)
    text = json.dumps(other.to_json(), sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    assert other.hash == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (lambda data: data["kinds"]["nib"].pop("label"), "kinds.nib.label: field required"),
        (lambda data: data["kinds"]["nib"].update(colour="red"), "kinds.nib.colour: unexpected keyword argument"),
        (lambda data: data["kinds"]["nib"].update(key="nob"), "kinds.nib calls itself 'nob'; both names must agree"),
        (lambda data: data["limits"][0].update(max_size="5"), "limits.0.max_size: input should be a valid integer"),
        (lambda data: data.update(kinds=[]), "kinds must map each key to its row"),
        (lambda data: data.pop("clause"), "clause: field required"),
    ],
)
def test_json_that_is_no_catalogue_is_refused_with_its_place(spoil, sentence):
    data = CATALOGUE.to_json()
    spoil(data)

    with pytest.raises(catalogues.CatalogueError) as refusal:
        catalogues.from_json(data)

    assert str(refusal.value) == sentence


def test_a_row_that_is_there_twice_is_refused():
    text = '[laps.lamp]\nlabel = "a"\nhint = "b"\norigin = "c"\n'

    with pytest.raises(catalogues.CatalogueError, match="laps: 'lamp' is there twice; keep one of them"):
        assemble([text, text])


def test_a_file_that_is_not_toml_is_refused():
    with pytest.raises(catalogues.CatalogueError, match="this catalogue file is not TOML"):
        assemble(["[kinds.nib"])


def test_asking_for_what_is_not_there_names_it():
    with pytest.raises(catalogues.CatalogueError, match="there is no method 'hammer' in this catalogue"):
        CATALOGUE.method("hammer")
