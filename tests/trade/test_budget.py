"""The clear-coat budget of a spot over every attempt, by hand and against adding up one by one."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade import budget, catalogue
from inspect_app.trade.budget import FilmReading, Place, Removal, clear_left
from inspect_app.trade.catalogue import CatalogueError
from inspect_app.trade.selectors import Facts, open_methods

BOOK = catalogue.builtin()
HERE = Place(view="left", x=5000, y=5000)


def off(film, x=0, y=0, **more):
    return Removal(film=film, place=Place(**{"view": "left", "x": 5000 + x, "y": 5000 + y} | more))


def left(*removals, **more):
    return clear_left(HERE, removals, **{"surface_class": "A", "paint": "maker"} | more)


def test_attempts_add_up_over_every_visit_and_the_polish_is_barred_with_the_reason():
    # 12 µm on a vehicle maker's own paint: warranty ceilings of 0.3 to 0.5 mil (7.6 to 12.7 µm; 1 mil is 25.4 µm).
    twice = left(off(40), off(40))

    assert (twice.outcome, twice.taken, twice.attempts, twice.clear, twice.bars) == ("open", 80, 2, 320, None)
    assert twice.text == "8 of 12 µm are off this spot; 32 µm of clear are left (assumed, not read)"
    third = left(off(40), off(40), takes=50)
    assert (third.outcome, third.bars) == ("spent", third.text)
    assert third.text == "13 µm would be off this spot after 3 attempts; the budget on class A is 12 µm"
    opened = open_methods(BOOK, Facts(kind="swirl", material="metal", spent=third.bars))
    assert opened.barred["machine_polish"] == (third.bars,)
    assert opened.open == ("refinish",)


def test_a_budget_used_up_to_the_last_tenth_is_spent():
    assert left(off(100), paint="ours").outcome == "open"
    assert left(off(120), reading=FilmReading(method="ultrasonic", clear=450)).outcome == "spent"
    assert left(off(119), reading=FilmReading(method="ultrasonic", clear=450)).outcome == "open"
    assert left(off(119), takes=1, reading=FilmReading(method="ultrasonic", clear=450)).outcome == "open"


def test_what_is_used_up_is_said_as_it_is_and_not_as_one_more_polish_would_leave_it():
    assert left(off(128)).bars == "12.8 of 12 µm are off this spot: the budget on class A is used up"
    read = FilmReading(method="ultrasonic", clear=300)
    assert left(reading=read).bars == "30 µm of clear are left (ultrasonic gauge); 30 µm must stay"


def test_enough_must_stay_by_the_gauge_that_read_it():
    thin = left(takes=20, reading=FilmReading(method="ultrasonic", clear=319))
    enough = left(takes=20, reading=FilmReading(method="ultrasonic", clear=320))

    assert thin.bars == "29.9 µm of clear would stay (ultrasonic gauge); 30 µm must"
    assert (enough.bars, enough.text) == (
        None,
        "0 of 12 µm are off this spot; 32 µm of clear are left (ultrasonic gauge)",
    )
    assert left(takes=20, surface_class="C", reading=FilmReading(method="ultrasonic", clear=319)).bars is None


def test_a_thin_film_is_not_cut_at_all():
    assert left(reading=FilmReading(method="magnetic", film=699)).bars == (
        "the whole film is 69.9 µm (magnetic gauge); below 70 µm nothing is cut"
    )
    assert left(reading=FilmReading(method="magnetic", film=700)).bars is None


def test_what_lies_within_50_mm_is_the_same_clear():
    assert left(off(40, 500)).taken == 40
    assert left(off(40, 300, 400)).taken == 40
    assert left(off(40, 501)).taken == 0
    assert left(off(40, view="roof")).taken == 0


def test_a_new_film_starts_the_counting_again():
    assert left(off(110), Removal(renews=True), off(20)).taken == 20
    assert left(off(110), Removal(renews=True), paint="ours").clear == 500


def test_a_reading_counts_what_came_off_after_it_only():
    reading = FilmReading(method="ultrasonic", clear=400, after=1)

    assert left(off(50), off(30), reading=reading).clear == 370
    assert left(off(50), off(30), reading=reading).taken == 80
    assert left(off(50), Removal(renews=True), off(30), reading=reading, paint="ours").clear == 470


def test_what_is_placed_by_a_finger_makes_it_unsure():
    found = left(off(40), off(100, 400, spread=1000))

    assert (found.outcome, found.taken, found.perhaps) == ("unsure", 40, 140)
    assert found.text == "4 µm are off this spot, perhaps 14 of 12 µm: place the earlier work finely"
    assert left(off(40), Removal(film=100)).outcome == "unsure"
    assert left(off(40), off(10, 400, spread=1000)).outcome == "open"


@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(-900, 900), st.integers(-900, 900), st.booleans()), max_size=8),
    st.integers(0, 60),
)
def test_the_sum_is_what_adding_up_gives(works, takes):
    removals = [Removal(renews=True) if renews else off(film, x, y) for film, x, y, renews in works]
    total = 0
    for film, x, y, renews in works:
        total = 0 if renews else total + (film if hypot(x, y) <= 500 else 0)

    found = left(*removals, takes=takes, reading=FilmReading(method="ultrasonic", clear=10_000))

    assert found.taken == found.perhaps == total
    assert (found.outcome == "spent") == (total + max(takes, 1) > 120)


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"takes": -1}, "film that was taken off cannot be below zero; check the removals"),
        ({"paint": "none"}, "there is no clear-coat budget for none's paint on class A; add a row"),
        (
            {"material": "plastic", "reading": FilmReading(method="magnetic", film=900)},
            "the magnetic gauge does not read on plastic; use an ultrasonic gauge, a witness tab, or none",
        ),
        (
            {"material": "glass", "reading": FilmReading(method="eddy", film=900)},
            "the eddy-current gauge does not read on glass; use an ultrasonic gauge, a witness tab, or none",
        ),
        ({"reading": FilmReading(method="ultrasonic", film=0)}, "a film reading is a figure above zero"),
        ({"reading": FilmReading(method="none", film=900)}, "a film reading is a figure above zero"),
        ({"reading": FilmReading(method="witness")}, "a film reading needs its figure; choose 'not read' when there is none"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_in_one_sentence(more, sentence):
    with pytest.raises(CatalogueError, match=f"^{sentence}"):
        left(**more)


@pytest.mark.parametrize("method", ["ultrasonic", "witness"])
def test_plastic_is_read_by_ultrasound_or_on_a_witness_tab(method):
    # ASTM D7091 (magnetic, eddy current) covers coatings on metals; ASTM D6132 (ultrasonic) those on other substrates.
    assert left(material="plastic", reading=FilmReading(method=method, film=900)).outcome == "open"
    assert left(material="plastic", reading=FilmReading(method="none")).text.endswith("(assumed, not read)")


def test_the_table_covers_both_paints_and_all_classes_and_never_asks_for_more_than_there_is():
    rules = budget.builtin()

    for paint in ("maker", "ours"):
        for name in BOOK.classes:
            row = budget.budget_for(rules, paint, name)
            assert 0 < row.stay < row.clear
            assert 0 < row.most <= row.clear
            assert row.origin
    polishes = [method for method in BOOK.methods.values() if method.film]
    assert all(left(takes=method.film).bars is None for method in polishes)
