"""Each fault a catalogue can have is found and said in a sentence."""

from dataclasses import replace

import pytest

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade.catalogue_rows import Limit, Voids

GOOD = catalogues.builtin()


def with_row(part, key, **changes):
    """The builtin catalogue with one row changed."""
    rows = getattr(GOOD, part)
    return replace(GOOD, **{part: {**rows, key: replace(rows[key], **changes)}})


def with_limit(**changes):
    """The builtin catalogue with one limit only: nibs on class A, changed."""
    plain = {"kinds": ("nib",), "surface_class": "A", "max_size": 5, "max_count": 2, "text": "few", "origin": "test"}
    return replace(GOOD, limits=(Limit(**(plain | changes)),))


def without(part, key):
    """The builtin catalogue without one row."""
    return replace(GOOD, **{part: {name: row for name, row in getattr(GOOD, part).items() if name != key}})


POLISH = GOOD.method("denib_polish").chain[0]


@pytest.mark.parametrize(
    ("catalogue", "sentence"),
    [
        (with_row("kinds", "nib", method="magic"), "kind 'nib' names the method 'magic', which does not exist"),
        (with_row("kinds", "nib", method_metal="weld"), "kind 'nib' names the method 'weld', which does not exist"),
        (with_row("kinds", "nib", group="fun"), "kind 'nib' names the group 'fun', which does not exist"),
        (with_row("kinds", "nib", severity="S9"), "kind 'nib' names the severity 'S9', which does not exist"),
        (
            with_row("kinds", "nib", origin_department="moon"),
            "kind 'nib' names the department 'moon', which does not exist",
        ),
        (with_row("kinds", "nib", sizes=()), "kind 'nib' is sized but has fewer than two size buttons"),
        (
            with_row("kinds", "nib", sizes=(3, 8, 8, 20)),
            "kind 'nib' must have its size buttons above zero and ascending",
        ),
        (with_row("kinds", "clip", sizes=(3, 8)), "kind 'clip' has size buttons but is not sized; empty its sizes"),
        (
            with_row("kinds", "nib", everyday=2),
            "the everyday kinds must fill the places 1 to 5 once each (got 2, 2, 3, 4, 5)",
        ),
        (with_row("kinds", "nib", origin=" "), "'nib' does not say where its values come from; fill in its origin"),
        (with_row("methods", "denib_polish", cautions=()), "method 'denib_polish' has no cautions"),
        (
            with_row("methods", "denib_polish", cautions=("bees",)),
            "method 'denib_polish' names the caution 'bees', which does not exist",
        ),
        (with_row("methods", "denib_polish", steps=()), "method 'denib_polish' does not say how it is done"),
        (
            with_row("methods", "denib_polish", chain=()),
            "method 'denib_polish' has no step; name at least one department",
        ),
        (
            with_row("methods", "denib_polish", chain=(replace(POLISH, department="moon"),)),
            "step 1 of method 'denib_polish' names the department 'moon', which does not exist",
        ),
        (
            with_row("methods", "denib_polish", chain=(replace(POLISH, department="supplier"),)),
            "step 1 of method 'denib_polish' goes to 'supplier', which takes no jobs",
        ),
        (
            with_row("methods", "denib_polish", chain=(replace(POLISH, minutes_base=0, minutes_spot=0),)),
            "step 1 of method 'denib_polish' has no minutes; give it at least one",
        ),
        (
            with_row("methods", "refinish", cautions=("dust",)),
            "method 'refinish' sprays in the booth but does not warn of isocyanates",
        ),
        (
            with_row("methods", "denib_polish", voids=Voids(scope="zone")),
            "method 'denib_polish' must name laps exactly when its work undoes looks",
        ),
        (
            with_row("methods", "denib_polish", voids=Voids(scope="zone", laps=("moon",))),
            "method 'denib_polish' undoes looks of the lap 'moon', which does not exist",
        ),
        (with_limit(kinds=("moon",)), "limit 1 (class A) names the kind 'moon', which does not exist"),
        (with_limit(kinds=()), "limit 1 (class A) names no kind"),
        (
            with_limit(max_size=None, max_count=None),
            "limit 1 (class A) can never fire: give it a size or a count",
        ),
        (with_limit(max_count=-1), "limit 1 (class A) has a figure below zero"),
        (with_limit(max_size=0), "limit 1 (class A) has a count that can never fire, since no size is allowed"),
        (
            with_limit(raking_max_size=5),
            "limit 1 (class A) has a raking figure that never fires: it must be larger than the size",
        ),
        (
            with_limit(max_size=20),
            "limit 1 (class A) lies outside the size buttons of 'nib', so that no button or every button is over it",
        ),
        (
            with_limit(kinds=("clip",)),
            "limit 1 (class A) has a size that can never fire for 'clip', which is not sized",
        ),
        (with_limit(kinds=("nib", "nib")), "limit 1 (class A) never fires for 'nib': an earlier row covers it"),
        (with_limit(origin=""), "limit 1 does not say where its values come from; fill in its origin"),
        (with_limit(surface_class="E"), "limit 1 (class E) names a surface class that does not exist"),
        (without("gates", "marks"), "the gate 'marks' must exist and be on by default"),
        (
            with_row("gates", "release", by_default=False),
            "the gate 'release' must exist and be on by default",
        ),
        (
            with_row("gates", "water", lifted_by=("dog",)),
            "gate 'water' must be lifted by some of inspector, technician, manager",
        ),
        (with_row("walks", "first", laps=("moon",)), "the walk 'first' must name laps that exist"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_fault_is_said_in_words(catalogue, sentence):
    assert sentence in catalogues.check(catalogue)


def limits(*rows):
    """The starting catalogue with these limits of nibs alone: class, paint, size, count."""
    made = (
        Limit(
            kinds=("nib",), surface_class=name, paint=paint, max_size=size, max_count=count, text="few", origin="test"
        )
        for name, paint, size, count in rows
    )
    return replace(GOOD, limits=tuple(made))


@pytest.mark.parametrize(
    ("catalogue", "sentence"),
    [
        (
            limits(("A", None, 5, 1), ("A", "maker", 3, 1)),
            "kind 'nib' is judged harder on the chassis maker's paint than on own paint (class A)",
        ),
        (
            limits(("A", None, 5, 1), ("A", "maker", 8, 1), ("B", None, 5, 1)),
            "kind 'nib' is judged harder on class B than on class A of the chassis maker's paint",
        ),
        (limits(("A", None, 5, 3), ("B", None, 5, 2)), "kind 'nib' is judged harder on class B than on class A"),
        (limits(("A", None, 5, None), ("B", None, None, 0)), "kind 'nib' is judged harder on class B than on class A"),
        (
            limits(("A", "maker", 5, 1)),
            "limit 1 (class A) limits 'nib' on the chassis maker's paint alone; give own paint a row, too",
        ),
        (
            limits(("A", None, 5, 1), ("A", "maker", 8, 1), ("A", "ours", 5, 1)),
            "limit 1 (class A) never fires for 'nib': own and chassis maker's paint have rows of their own",
        ),
        (limits(("A", None, 5, 0)), "limit 1 (class A) has a size that can never fire, since none is allowed"),
        (
            with_row("methods", "denib_polish", waits_for=("denib_polish",)),
            "no method of this loop could ever begin: 'denib_polish' waits for 'denib_polish'; take one of them out",
        ),
        (
            with_row("methods", "dent_push", waits_for=("clip_renewal",)),
            "no method of this loop could ever begin: 'dent_push' waits for 'clip_renewal' waits for 'refit_adjust'"
            " waits for 'dent_push'; take one of them out",
        ),
        (
            with_row("methods", "dent_push", waits_for=("magic",)),
            "method 'dent_push' waits for 'magic', which does not exist",
        ),
        (
            with_row("departments", "paint", retired=True),
            "step 1 of method 'touch_in' goes to 'paint', which is retired",
        ),
        (
            with_row("methods", "denib_polish", retired=True),
            "kind 'nib' names the method 'denib_polish', which is retired; choose another one",
        ),
        (
            with_row("methods", "denib_polish", wait_minutes=-1),
            "method 'denib_polish' has a figure below zero; give zero or more",
        ),
        (
            with_row("kinds", "nib", sizes=(1, 2, 3, 4, 5, 6, 7, 8)),
            "kind 'nib' has more than seven size buttons, which no phone shows",
        ),
        (with_row("kinds", "nib", label=" "), "'nib' has no name; give it one"),
        (
            replace(GOOD, departments={**GOOD.departments, "a/b": replace(GOOD.departments["paint"], key="a/b")}),
            "'a/b' cannot name a row: use up to 40 letters, digits and underscores",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_contradictions_loops_and_what_is_retired_are_said_in_words(catalogue, sentence):
    assert catalogues.check(catalogue).count(sentence) == 1


def test_a_hidden_surface_judged_harder_than_a_plain_one_is_a_fault():
    rows = tuple(
        Limit(kinds=("nib",), surface_class=name, max_size=size, text="few", origin="test")
        for name, size in (("A", 8), ("B", 5))
    )

    assert "kind 'nib' is judged harder on class B than on class A" in catalogues.check(replace(GOOD, limits=rows))
