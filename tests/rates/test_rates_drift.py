"""A gap that drifts: the line through its readings, its interval and its plot."""

from __future__ import annotations

import random
from xml.etree import ElementTree

import pytest

from inspect_app.rates.drift import Drift, Reading, drift
from inspect_app.rates.drift_plot import Days, drift_plot, steps

SVG = "{http://www.w3.org/2000/svg}"


def readings(n: int = 40, slope: float = 0.07, seed: int = 7) -> list[Reading]:
    chance = random.Random(seed)
    weeks = [chance.uniform(0, 26) for _ in range(n)]
    return [Reading(week=week, mm=5.7 + slope * week + chance.gauss(0, 0.2)) for week in weeks]


@pytest.mark.parametrize("n", [8, 40])
def test_the_slope_and_its_interval_are_those_of_a_general_library(n):
    from scipy import stats  # takes seconds to load

    told = readings(n)
    line = drift(told)
    assert line is not None

    # Outside: scipy.stats.linregress for the slope and its standard error, scipy.stats.t for the quantile.
    library = stats.linregress([one.week for one in told], [one.mm for one in told])
    either = stats.t.ppf(0.995, n - 2) * library.stderr
    assert line.slope == pytest.approx(library.slope)
    assert (line.low, line.high) == pytest.approx((library.slope - either, library.slope + either))
    assert line.last[1] == pytest.approx(library.intercept + library.slope * line.last[0])


def test_what_does_not_drift_is_not_seen_to_in_about_99_of_100_plants():
    seen = [drift(readings(12, slope=0, seed=seed)) for seed in range(400)]
    assert sum(isinstance(one, Drift) and one.is_seen for one in seen) <= 12  # of a mean of 4: 1 in 3000 (binomial)


@pytest.mark.parametrize("few", [readings(7), [Reading(week=one.week / 26, mm=one.mm) for one in readings()], []])
def test_too_few_readings_or_too_short_a_time_have_no_line(few):
    assert drift(few) is None


def test_readings_that_are_all_alike_have_a_level_line_and_a_plot():
    flat = [Reading(week=week, mm=5.0) for week in range(9)]
    line = drift(flat)
    assert line is not None
    assert (line.slope, line.is_seen) == (0.0, False)
    days = Days(title="a", said="b", labels=[(0, "1 Jun"), (8, "27 Jul")])
    assert len(ElementTree.fromstring(drift_plot(flat, line, days, ident="p")).findall(f"{SVG}circle")) == 9  # noqa: S314


def test_each_reading_stands_at_its_height_and_labels_are_escaped():
    told = readings()
    line = drift(told)
    assert line is not None
    days = Days(title="<make>", said="it & that", labels=[(0.0, "1 Jun"), (13.0, "1 Sep"), (26.0, "30 Nov")])
    root = ElementTree.fromstring(drift_plot(told, line, days, ident="p"))  # noqa: S314 - our own picture

    assert root.findtext(f"{SVG}title") == "<make>"
    heights = {
        one.text: float(one.get("y", "")) - 5 for one in root.iter(f"{SVG}text") if (one.text or "").endswith("mm")
    }
    (low, at), (high, top) = (
        (float(text.split()[0]), y)
        for text, y in (min(heights.items(), key=lambda one: -one[1]), min(heights.items(), key=lambda one: one[1]))
    )
    dots = root.findall(f"{SVG}circle")
    for one, dot in zip(told, dots, strict=True):
        assert float(dot.get("cy", "")) == pytest.approx(at + (top - at) * (one.mm - low) / (high - low), abs=0.2)


@pytest.mark.parametrize(("low", "high"), [(5.0, 5.0), (4.8, 8.3), (0, 60), (6.1, 6.15), (0.3, 999)])
def test_steps_are_few_and_hold_all_readings(low, high):
    made = steps(low, high)
    assert 2 <= len(made) <= 6
    assert made[0] <= low <= high <= made[-1]


def test_a_confidence_that_is_none_is_refused():
    with pytest.raises(ValueError, match="between 0 and 1"):
        drift(readings(), confidence=1.0)
