"""Sizes that cannot be meant are told in a sentence; all that the buttons offer can be."""

import pytest

from inspect_app.trade import catalogue
from inspect_app.trade.sizes import size_fault

BOOK = catalogue.builtin()


@pytest.mark.parametrize(
    ("kind", "size", "sentence"),
    [
        ("nib", 0, "the size of “dirt nib” must be above zero (got 0 mm); leave it empty if it was not measured"),
        ("nib", -5, "the size of “dirt nib” must be above zero (got -0.5 mm); leave it empty if it was not measured"),
        ("nib", 9000, "900 mm is more than “dirt nib” can be (at most 40 mm); check the figure and its unit"),
        ("flush", 0, "the size of “step across a joint” must be above zero (got 0 mm); leave it empty if it was not measured"),
        ("flush", -9000, "900 mm is more than “step across a joint” can be (at most 80 mm); check the figure and its unit"),
        ("clip", 5, "“clip loose or missing” is not measured; leave its size empty"),
    ],
)  # fmt: skip
def test_a_size_that_cannot_be_meant(kind, size, sentence):
    assert size_fault(BOOK, kind, size) == sentence


def test_what_the_buttons_offer_can_be_meant_and_so_can_nothing_and_a_sunk_step():
    assert [size_fault(BOOK, kind.key, size) for kind in BOOK.kinds.values() for size in (None, *kind.sizes)] == [
        None for kind in BOOK.kinds.values() for _ in (None, *kind.sizes)
    ]
    assert size_fault(BOOK, "flush", -15) is None
