"""Readings judged: colour by published pairs, dew points by published figures, and film, gaps, steps by their bounds."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import readings
from inspect_app.trade.budget import FilmReading
from inspect_app.trade.catalogue import CatalogueError
from inspect_app.trade.reading_taken import told_words
from inspect_app.trade.readings import colour, delta_e_2000, dew_margin, dew_point, film, flush, gap, symmetry

BOOK = catalogues.builtin()

# Sharma, Wu and Dalal, "The CIEDE2000 Color-Difference Formula: Implementation Notes, Supplementary Test Data, and
# Mathematical Observations" (2005): pairs from their table, with the difference to four places.
SHARMA = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
    ((50, 2.8361, -74.02), (50, 0, -82.7485), 3.4412),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0),
    ((50, -1.1848, -84.8006), (50, 0, -82.7485), 1.0),
    ((50, -0.9009, -85.5211), (50, 0, -82.7485), 1.0),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.0011), 7.2195),
    ((50, 2.5, 0), (50, 0, -2.5), 4.3065),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
]


@pytest.mark.parametrize(("one", "other", "apart"), SHARMA, ids=str)
def test_the_colour_difference_is_the_published_one(one, other, apart):
    assert delta_e_2000(one, other) == pytest.approx(apart, abs=5e-5)
    assert delta_e_2000(other, one) == pytest.approx(apart, abs=5e-5)


def lab(lightness):
    """A grey. By the formula greys differ by ΔL / (1 + 0.015 d² / √(20 + d²)), d being their mean L* less 50."""
    return (lightness, 0.0, 0.0)


@pytest.mark.parametrize(
    ("lightness", "surface_class", "outcome", "text"),
    [
        (50.5, "A", "within", "ΔE00 0.50 at 45° on class A: within the limit of 1"),
        (50.9, "A", "look_again", "ΔE00 0.90 at 45° on class A: within 1; look at it in two lights"),
        (51.2, "A", "over", "ΔE00 1.20 at 45° on class A: over the limit of 1"),
        (51.2, "B", "look_again", "ΔE00 1.20 at 45° on class B: within 1.5; look at it in two lights"),
        (53.0, "C", "over", "ΔE00 2.98 at 45° on class C: over the limit of 2.5"),
    ],
)
def test_a_colour_is_judged_on_its_class_with_the_number(lightness, surface_class, outcome, text):
    told = colour(BOOK, {45: (lab(lightness), lab(50))}, surface_class)

    assert (told.outcome, told.text) == (outcome, text)


def test_a_figure_is_judged_as_it_is_shown():
    # 1.004 is shown as 1.00, which is within 1; 2.96 °C as 3.0, which is enough.
    pair = (lab(51.0047), lab(50))

    assert 1.0035 < delta_e_2000(*pair) < 1.0045
    assert colour(BOOK, {45: pair}, "A").text == "ΔE00 1.00 at 45° on class A: within 1; look at it in two lights"
    assert dew_margin(14.9555, 20, 60).outcome == "within"


def test_metallic_needs_its_angles_and_the_worst_of_them_decides():
    pair = {45: (lab(50), lab(50)), 15: (lab(51.5), lab(50)), 110: (lab(50.2), lab(50))}

    assert colour(BOOK, {45: pair[45]}, "A", effect=True).text == "read it at 15°, 110°, too"
    assert colour(BOOK, {}, "A").outcome == "unmeasured"
    told = colour(BOOK, pair, "A", effect=True)
    assert told.text.startswith("ΔE00 1.50 at 15° on class A: over")
    trim = colour(BOOK, pair, "A", effect=True, trim=True)
    assert trim.text == "ΔE00 1.50 at 15° on class A: within 1.7; look at it in two lights"
    assert colour(BOOK, pair, "D").outcome == "unmeasured"
    with pytest.raises(ValueError, match=r"^a colour is three numbers"):
        delta_e_2000((50, 0), (50, 0, 0))


# The Magnus formula with the constants of Sonntag (17.62, 243.12), reckoned apart from this program.
@pytest.mark.parametrize(("humidity", "point"), [(50, 9.2552), (60, 11.9955), (70, 14.3592), (80, 16.4424), (100, 20)])
def test_the_dew_point_is_what_the_formula_gives(humidity, point):
    assert dew_point(20, humidity) == pytest.approx(point, abs=5e-5)


# Steam tables: water's vapour pressure is 23.39 hPa at 20 °C, 12.28 at 10 °C, 8.726 at 5 °C, 42.47 at 30 °C (from memory):
# air whose vapour has the pressure of 10 °C has its dew point there.
@pytest.mark.parametrize(("air", "full", "point", "pressure"), [(20, 23.39, 10, 12.28), (20, 23.39, 5, 8.726), (30, 42.47, 20, 23.39)])  # fmt: skip
def test_the_dew_point_agrees_with_steam_tables(air, full, point, pressure):
    assert dew_point(air, 100 * pressure / full) == pytest.approx(point, abs=0.03)


@given(st.floats(-40, 55), st.floats(1, 99))
def test_the_dew_point_lies_below_the_air_and_rises_with_its_water(air, humidity):
    assert dew_point(air, humidity) < air
    assert dew_point(air, humidity) < dew_point(air, humidity + 1)


def test_a_surface_must_be_three_degrees_above_the_dew_point():
    assert dew_margin(15, 20, 60).text == "3.0 °C above the dew point of 12.0 °C: 3 °C or more"
    told = dew_margin(14.9, 20, 60)
    assert (told.outcome, told.text) == ("over", "2.9 °C above the dew point of 12.0 °C: under 3 °C, do not paint")
    for air, humidity in ((20, 0), (20, 101), (80, 50)):
        with pytest.raises(ValueError, match=r"^(relative humidity|the formula)"):
            dew_margin(15, air, humidity)


@pytest.mark.parametrize(
    ("micron", "where", "outcome", "text"),
    [
        (1040, "body", "within", "film of 104 µm (magnetic gauge): within 300 µm"),
        (3000, "body", "within", "film of 300 µm (magnetic gauge): within 300 µm"),
        (3001, "body", "over", "film of 300.1 µm (magnetic gauge): over 300 µm, the old paint comes off before another coat"),
        (799, "body", "look_again", "film of 79.9 µm (magnetic gauge): under 80 µm, thin; cut with care"),
        (400, "radar", "within", "film of 40 µm (magnetic gauge): within 300 µm"),
        (1300, "parking_disc", "over", "film of 130 µm (magnetic gauge): over 120 µm, the old paint comes off before another coat"),
    ],
)  # fmt: skip
def test_the_build_of_a_film(micron, where, outcome, text):
    told = film(FilmReading(method="magnetic", film=micron), "metal", where=where)

    assert (told.outcome, told.text) == (outcome, text)


def test_a_film_that_nobody_can_read_is_said_so():
    assert film(FilmReading(method="none"), "plastic").text == "film not read"
    with pytest.raises(CatalogueError, match=r"^the magnetic gauge does not read on plastic"):
        film(FilmReading(method="magnetic", film=900), "plastic")
    with pytest.raises(CatalogueError, match=r"^there is no film limit for 'moon'"):
        film(FilmReading(method="none"), "metal", where="moon")


# A minivan maker's service bulletin: sliding door to pillar 5 ± 1 mm, even from top to bottom.
@pytest.mark.parametrize(
    ("read", "outcomes", "texts"),
    [
        ((50, 50, 50), ("within", "within"), ("gap of 5 mm: within the limit of 5 ± 1 mm", "runs out by 0 mm: within 1 mm")),
        ((40, 45, 50), ("within", "within"), ("gap of 4 mm: within the limit of 5 ± 1 mm", "runs out by 1 mm: within 1 mm")),
        ((45, 50, 60), ("within", "over"), ("gap of 6 mm: within the limit of 5 ± 1 mm", "runs out by 1.5 mm: over 1 mm")),
        ((50, 50, 61), ("over", "over"), ("gap of 6.1 mm: over the limit of 5 ± 1 mm", "runs out by 1.1 mm: over 1 mm")),
    ],
)  # fmt: skip
def test_a_gap_is_read_at_three_points(read, outcomes, texts):
    told = gap(read, nominal=50, tolerance=10)

    assert tuple(one.outcome for one in told) == outcomes
    assert tuple(one.text for one in told) == texts


@given(st.lists(st.integers(0, 120), min_size=3, max_size=9), st.integers(20, 60), st.integers(1, 20))
@settings(max_examples=200)
def test_a_gap_is_within_exactly_when_every_reading_is(read, nominal, tolerance):
    size, taper = gap(read, nominal=nominal, tolerance=tolerance)

    assert (size.outcome == "within") == all(abs(one - nominal) <= tolerance for one in read)
    assert (taper.outcome == "within") == all(abs(a - b) <= 10 for a in read for b in read)
    mirrored = gap(read[::-1], nominal=nominal, tolerance=tolerance)
    assert [one.outcome for one in mirrored] == [size.outcome, taper.outcome]


@pytest.mark.parametrize(
    ("read", "surface_class", "outcome", "text"),
    [
        ((5, 0, 10), "A", "within", "stands 1 mm proud on class A: within 1 mm"),
        ((5, 0, 11), "A", "over", "stands 1.1 mm proud on class A: over 1 mm"),
        ((5, 0, -11), "A", "over", "lies 1.1 mm low on class A: over 1 mm"),
        ((5, 0, -11), "B", "within", "lies 1.1 mm low on class B: within 1.5 mm"),
        ((0, 0, 0), "D", "unmeasured", "no limit for steps is set on class D"),
    ],
)
def test_a_step_has_a_sense(read, surface_class, outcome, text):
    told = flush(BOOK, read, surface_class)

    assert (told.outcome, told.text) == (outcome, text)


def test_left_and_right_are_compared_point_by_point():
    assert symmetry((40, 45, 50), (60, 45, 40)).text == "left and right differ by 2 mm: within 2 mm"
    assert symmetry((40, 45, 50), (61, 45, 40)).outcome == "over"
    with pytest.raises(ValueError, match=r"^left and right need readings at the same points$"):
        symmetry((40, 45, 50), (40, 45, 50, 55))


@pytest.mark.parametrize("judge", [lambda read: gap(read, nominal=50, tolerance=10), lambda read: flush(BOOK, read, "A"), lambda read: symmetry(read, read)])  # fmt: skip
def test_two_points_are_no_joint(judge):
    with pytest.raises(ValueError, match=r"^read a joint at three points: start, middle and end \(got 2\)$"):
        judge((40, 45))


def test_a_gap_below_zero_is_a_step():
    with pytest.raises(
        ValueError, match=r"^a gap cannot be below zero \(got -0.1 mm\); parts that overlap are a step$"
    ):
        gap((40, -1, 45), nominal=50, tolerance=10)


def test_every_table_of_readings_says_where_it_comes_from():
    tables = readings.builtin()
    rows = [*tables.film.values(), tables.colour, tables.fit, tables.dew, tables.adhesion]

    assert len(rows) == 7
    assert all(row.origin for row in rows)


def test_a_reading_below_zero_is_told_with_a_minus_and_no_hyphen():
    told = {"colour": [{"angle": 15, "part": [8890, -150, -300], "beside": [9390, -90, -520]}]}

    assert told_words("colour", told) == "15°: part 88.90 −1.50 −3.00, beside 93.90 −0.90 −5.20"
    assert told_words("gap", {"flush": [-3, 0, 4]}) == "step −0.3 / 0 / 0.4 mm"
    assert told_words("dew", {"air": -25, "surface": -31, "humidity": 800}).startswith("air −2.5 °C, surface −3.1 °C")
