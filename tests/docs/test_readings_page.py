"""What docs/readings.md says of readings and values at gates is what the program gives."""

from __future__ import annotations

import doctest
from pathlib import Path

from inspect_app.trade import gate_values, readings

PAGE = Path(__file__).parents[2] / "docs" / "readings.md"


def test_every_example_gives_what_stands_under_it():
    found = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")

    assert found.attempted > 10
    assert found.failed == 0


def test_the_bounds_that_are_told_are_those_of_the_files():
    text, rules = " ".join(PAGE.read_text("utf-8").split()), readings.builtin()
    film, fit = rules.film, rules.fit

    assert f"{film['body'].strip // 10} µm in all, {film['parking_disc'].strip // 10} µm on a parking" in text
    assert f"under {film['body'].least // 10} µm thin" in text
    assert f"{fit.taper // 10} mm of taper, {fit.symmetry // 10} mm between left and right" in text
    assert f"{rules.dew.margin // 10} °C above the dew point" in text
    assert "Ten minutes of shower, five to drain" in gate_values.builtin()["water"].hint
