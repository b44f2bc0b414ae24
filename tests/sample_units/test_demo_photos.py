"""Drawn photos: the same twice, and what they show can be seen in the pixels."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageFilter

from sample_units.paint_photos import RECIPES, draw


def pixels(kind: str, colour: str = "#2f4f43", *, after: bool = False) -> np.ndarray:
    picture = Image.open(io.BytesIO(draw(kind, colour, "solid", 5, after=after)))
    return np.asarray(picture, dtype=float)


@pytest.mark.parametrize("kind", RECIPES)
def test_every_kind_is_a_photo_of_a_tablets_size_and_weight(kind):
    data = draw(kind, "#5d7183", "metallic", 3)

    assert Image.open(io.BytesIO(data)).size == (1600, 1200)
    assert 120_000 < len(data) < 320_000


def test_the_same_seed_draws_the_same_picture_and_another_does_not():
    assert draw("nib", "#7a1f26", "metallic", 4) == draw("nib", "#7a1f26", "metallic", 4)
    assert draw("nib", "#7a1f26", "metallic", 4) != draw("nib", "#7a1f26", "metallic", 5)


def test_the_paint_has_the_colour_of_the_van():
    def between_the_lamps(colour: str) -> np.ndarray:
        shown = pixels("run", colour)
        return np.median(shown[shown.mean(2) < np.median(shown.mean(2))], axis=0)

    red, green = between_the_lamps("#7a1f26"), between_the_lamps("#2f4f43")

    assert red[0] > red[1] + 40
    assert green[1] > green[0] + 15


def test_orange_peel_ruffles_the_lamps_more_than_the_polished_panel_does():
    def ruffle(after: bool) -> float:
        grey = Image.fromarray(pixels("orange_peel", after=after).mean(2).astype(np.uint8))
        fine = grey.filter(ImageFilter.GaussianBlur(3))
        coarse = grey.filter(ImageFilter.GaussianBlur(20))
        return float((np.asarray(fine, float) - np.asarray(coarse, float))[:800].std())

    assert ruffle(after=False) > 1.15 * ruffle(after=True)


def test_a_gap_is_dark_and_wider_before_it_is_set_right():
    before, after = (pixels("gap", "#ece9e0", after=after)[300:900].mean(2) < 40 for after in (False, True))

    assert before.mean() > after.mean() > 0.01
