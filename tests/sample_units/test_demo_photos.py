"""Drawn photos: the same twice, and what they show can be seen in the pixels."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pytest
from PIL import Image, ImageFilter

from sample_units.paint.surface import SMALL
from sample_units.paint_photos import RECIPES, draw


@cache
def large(kind: str, *, after: bool = False) -> bytes:
    return draw(kind, "#5d7183", "metallic", 3, after=after)


def small(kind: str, colour: str, finish: str = "metallic", *, seed: int = 5, after: bool = False) -> bytes:
    return draw(kind, colour, finish, seed, size=SMALL, after=after)


def pixels(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(data)), dtype=float)


@pytest.mark.parametrize("kind", RECIPES)
def test_every_kind_is_a_photo_of_a_tablets_size_and_weight(kind):
    data = large(kind)

    assert Image.open(io.BytesIO(data)).size == (1600, 1200)
    assert 120_000 < len(data) < 320_000


def test_the_same_seed_draws_the_same_picture_and_another_does_not():
    first = small("nib", "#7a1f26", seed=4)

    assert draw("nib", "#5d7183", "metallic", 3) == large("nib")
    assert small("nib", "#7a1f26", seed=4) == first
    assert small("nib", "#7a1f26", seed=5) != first


def test_the_paint_has_the_colour_of_the_van():
    def between_the_lamps(colour: str) -> np.ndarray:
        shown = pixels(small("run", colour, "solid"))
        return np.median(shown[shown.mean(2) < np.median(shown.mean(2))], axis=0)

    red, green = between_the_lamps("#7a1f26"), between_the_lamps("#2f4f43")

    assert red[0] > red[1] + 40
    assert green[1] > green[0] + 15


def test_orange_peel_ruffles_the_lamps_more_than_the_polished_panel_does():
    def ruffle(after: bool) -> float:
        grey = Image.fromarray(pixels(large("orange_peel", after=after)).mean(2).astype(np.uint8))
        fine = grey.filter(ImageFilter.GaussianBlur(3))
        coarse = grey.filter(ImageFilter.GaussianBlur(20))
        return float((np.asarray(fine, float) - np.asarray(coarse, float))[:800].std())

    assert ruffle(after=False) > 1.15 * ruffle(after=True)


def test_a_gap_is_dark_and_wider_before_it_is_set_right():
    before, after = (
        pixels(small("gap", "#ece9e0", "solid", after=after))[120:360].mean(2) < 40 for after in (False, True)
    )

    assert before.mean() > after.mean() > 0.01
