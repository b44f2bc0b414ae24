"""The exact interval, against printed tables, its own definition, and SciPy by another road."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.rates.poisson import garwood

COUNTS = st.integers(0, 2000)
CONFIDENCES = st.sampled_from([0.5, 0.8, 0.9, 0.95, 0.99, 0.999])


# Two decimals: Pearson and Hartley, Biometrika Tables for Statisticians, vol. 1, table 40 (from memory).
# Six decimals: computed outside the project with SciPy 1.17 when the work began.
@pytest.mark.parametrize(
    ("count", "low", "high", "within"),
    [
        (0, 0, 3.688879, 5e-7),
        (1, 0.025318, 5.571643, 5e-7),
        (5, 1.623486, 11.668332, 5e-7),
        (10, 4.795389, 18.390356, 5e-7),
        (2, 0.24, 7.22, 0.005),
        (3, 0.62, 8.77, 0.005),
        (20, 12.22, 30.89, 0.005),
        (50, 37.11, 65.92, 0.005),
    ],
)
def test_the_interval_is_the_one_in_the_tables(count, low, high, within):
    interval = garwood(count)

    assert interval.low == pytest.approx(low, abs=within)
    assert interval.high == pytest.approx(high, abs=within)


@given(CONFIDENCES)
def test_of_nothing_found_the_high_end_is_a_logarithm(confidence):
    # With a count of nought the defining equation exp(-high) = (1 - confidence) / 2 solves by hand.
    interval = garwood(0, confidence=confidence)

    assert interval.low == 0
    assert interval.high == pytest.approx(-math.log((1 - confidence) / 2), rel=1e-12)


def chance_of_at_most(count, mean):
    """Sum the Poisson probabilities one by one, with nothing but the standard library."""
    return math.fsum(math.exp(k * math.log(mean) - mean - math.lgamma(k + 1)) for k in range(count + 1))


@settings(max_examples=60, deadline=None)
@given(count=st.integers(1, 400), confidence=CONFIDENCES)
def test_each_end_leaves_half_of_the_doubt_outside(count, confidence):
    interval, tail = garwood(count, confidence=confidence), (1 - confidence) / 2

    assert 1 - chance_of_at_most(count - 1, interval.low) == pytest.approx(tail, rel=1e-6)
    assert chance_of_at_most(count, interval.high) == pytest.approx(tail, rel=1e-6)


@settings(max_examples=100, deadline=None)
@given(count=COUNTS, confidence=CONFIDENCES)
def test_it_agrees_with_the_chi_squared_form(count, confidence):
    # The form printed in most handbooks, through another part of SciPy: half a chi-squared quantile of 2k and 2k + 2.
    from scipy.stats import chi2

    interval, tail = garwood(count, confidence=confidence), (1 - confidence) / 2

    assert interval.low == pytest.approx(chi2.ppf(tail, 2 * count) / 2 if count else 0, rel=1e-9)
    assert interval.high == pytest.approx(chi2.isf(tail, 2 * count + 2) / 2, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(mean=st.floats(0.05, 60))
def test_it_holds_the_truth_at_least_as_often_as_it_says(mean):
    def chance(count):
        return math.exp(count * math.log(mean) - mean - math.lgamma(count + 1))

    holding = (count for count in range(200) if garwood(count).low <= mean <= garwood(count).high)

    assert math.fsum(chance(count) for count in holding) >= 0.95 - 1e-9


@given(count=COUNTS, exposure=st.floats(0.1, 1e6))
def test_twice_the_vans_halve_the_rate(count, exposure):
    one, two = garwood(count, exposure), garwood(count, 2 * exposure)

    assert one.low == pytest.approx(2 * two.low)
    assert one.high == pytest.approx(2 * two.high)
    assert one.low <= count / exposure <= one.high


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ({"count": -1}, "'count'"),
        ({"count": 1.5}, "'count'"),
        ({"count": True}, "'count'"),
        ({"count": 1, "exposure": 0}, "'exposure'"),
        ({"count": 1, "exposure": math.nan}, "'exposure'"),
        ({"count": 1, "exposure": math.inf}, "'exposure'"),
        ({"count": 1, "confidence": 1}, "'confidence'"),
        ({"count": 1, "confidence": 95}, "'confidence'"),
    ],
)
def test_what_cannot_have_been_counted_is_refused(arguments, named):
    with pytest.raises(ValueError, match=named):
        garwood(**arguments)
