"""Verdicts in Python. The same vectors run in the browser: tests/client/test_limits_in_the_browser.py."""

import json
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import limits

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "limits.json").read_text("utf-8"))
CATALOGUE = catalogues.builtin()
KINDS = st.sampled_from(sorted(CATALOGUE.kinds))
CLASSES = st.sampled_from("ABCD")


@pytest.mark.parametrize("vector", VECTORS["verdicts"], ids=lambda one: one["text"])
def test_a_verdict_says_what_the_vector_says(vector):
    found = {name: vector[name] for name in ("size", "count", "others", "raking", "paint") if name in vector}

    told = limits.verdict(CATALOGUE, vector["kind"], vector["class"], **found)

    assert (told.outcome, told.text) == (vector["outcome"], vector["text"])


@pytest.mark.parametrize("vector", VECTORS["gaps"], ids=lambda one: one["text"])
def test_a_gap_is_judged_by_its_joint(vector):
    told = limits.gap_verdict(vector["gap"], nominal=vector["nominal"], tolerance=vector["tolerance"])

    assert (told.outcome, told.text) == (vector["outcome"], vector["text"])


@pytest.mark.parametrize("vector", VECTORS["gap_steps"], ids=lambda one: str(one["nominal"]))
def test_gap_buttons_lie_either_side_of_nominal_and_never_below_zero(vector):
    assert list(limits.gap_steps(CATALOGUE.kind(vector["kind"]), vector["nominal"])) == vector["steps"]


@given(KINDS, CLASSES, st.integers(0, 20_000), st.integers(1, 20), st.booleans())
def test_a_larger_flaw_is_never_judged_milder(kind, surface_class, size, count, raking):
    larger = limits.verdict(CATALOGUE, kind, surface_class, size=size + 1, count=count + 1, raking=raking)

    if larger.outcome == "within":
        smaller = limits.verdict(CATALOGUE, kind, surface_class, size=size, count=count, raking=raking)
        assert smaller.outcome == "within"


@given(KINDS, CLASSES, st.none() | st.integers(0, 20_000), st.integers(1, 9), st.integers(0, 9))
def test_it_is_one_count_whether_it_stands_in_one_marker_or_in_several(kind, surface_class, size, count, others):
    apart = limits.verdict(CATALOGUE, kind, surface_class, size=size, count=count, others=others)
    together = limits.verdict(CATALOGUE, kind, surface_class, size=size, count=count + others)

    assert (apart.outcome, apart.text.replace("this part, ", "")) == (together.outcome, together.text)


@pytest.mark.parametrize("raking", [False, True])
@pytest.mark.parametrize("kind", CATALOGUE.kinds.values(), ids=lambda kind: kind.key)
def test_what_passes_in_plain_view_passes_where_it_is_seen_less(kind, raking):
    for size, count in product(kind.sizes or (None,), (1, 2, 3, 4, 7)):
        told = [limits.verdict(CATALOGUE, kind.key, one, size=size, count=count, raking=raking) for one in "ABC"]
        outcomes = [one.outcome for one in told]

        assert outcomes == sorted(outcomes, key=["over", "within", "no_limit"].index), (size, count)


@given(KINDS, CLASSES, st.integers(0, 20_000))
def test_raking_light_never_makes_a_verdict_harder(kind, surface_class, size):
    plain = limits.verdict(CATALOGUE, kind, surface_class, size=size)
    raking = limits.verdict(CATALOGUE, kind, surface_class, size=size, raking=True)

    assert (plain.outcome, raking.outcome) not in {("within", "over"), ("no_limit", "over")}


@pytest.mark.parametrize(
    "limit", CATALOGUE.limits, ids=lambda limit: f"{limit.kinds[0]}-{limit.surface_class}-{limit.paint}"
)
def test_every_limit_can_fire(limit):
    for kind in limit.kinds:
        largest = limits.size_steps(CATALOGUE.kind(kind))[-1:] or (None,)

        told = limits.verdict(CATALOGUE, kind, limit.surface_class, size=largest[0], paint=limit.paint)

        assert (told.outcome, told.limit) == ("over", limit)


def test_a_limit_of_counts_alone_needs_no_size():
    row = replace(
        CATALOGUE.limits[0], kinds=("clip",), surface_class="A", max_size=None, max_count=2, raking_max_size=None
    )
    catalogue = replace(CATALOGUE, limits=(row,))

    assert limits.verdict(catalogue, "clip", "A").text == "1 on class A: within the limit of 2 on a part"
    assert limits.verdict(catalogue, "clip", "A", count=3).outcome == "over"


def test_an_unknown_kind_or_class_is_named():
    with pytest.raises(catalogues.CatalogueError, match="there is no kind 'crumb' in this catalogue"):
        limits.verdict(CATALOGUE, "crumb", "A")
    with pytest.raises(catalogues.CatalogueError, match="there is no surface class 'E' in this catalogue"):
        limits.verdict(CATALOGUE, "nib", "E")
