"""Chassis numbers, held against 49 CFR 565.15(c) and its published examples."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade.vin import WEIGHTS, VinError, check_digit, check_digit_holds, last_six, normalise

ALPHABET = "".join(sorted(set(string.ascii_uppercase + string.digits) - set("IOQ")))
NUMBERS = st.text(ALPHABET, min_size=17, max_size=17)

# 49 CFR 565.15(c), table III, written out as the regulation prints it.
PRINTED_VALUES = [
    "A1", "B2", "C3", "D4", "E5", "F6", "G7", "H8", "J1", "K2", "L3", "M4", "N5", "P7", "R9", "S2", "T3", "U4", "V5",
    "W6", "X7", "Y8", "Z9",
]  # fmt: skip


@pytest.mark.parametrize(
    ("vin", "digit", "source"),
    [
        ("1G4AH59H45G118341", "4", "sample calculation printed in 49 CFR 565"),
        ("1J9RP1A36A1644345", "6", "NHTSA outline for new manufacturers"),
        ("1M8GDM9AXKP042788", "X", "widely published example"),
    ],
)
def test_the_check_digit_is_that_of_published_numbers(vin, digit, source):
    assert check_digit(vin) == digit, source
    assert check_digit_holds(vin)


@pytest.mark.parametrize("printed", PRINTED_VALUES)
def test_each_letter_counts_what_the_regulation_prints(printed):
    letter, value = printed[0], int(printed[1])

    alone = check_digit("0" * 16 + letter)  # position 17 weighs 2

    assert alone == "0123456789X"[value * 2 % 11]


def test_the_weights_are_those_of_the_regulation():
    assert WEIGHTS == (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)  # 49 CFR 565.15(c), table IV


@pytest.mark.parametrize(
    "typed", ["1m8gd-m9ax kp 042788", " 1M8GDM9AXKP042788\n", "1M8GDM9AX‑KP042788", "1M8 GDM9AX–KP042788"]
)
def test_spaces_hyphens_and_small_letters_do_not_matter(typed):
    assert normalise(typed) == "1M8GDM9AXKP042788"
    assert last_six(typed) == "042788"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("1M8GDM9AXKPO42788", "position 12 is 'O': a chassis number has no I, O or Q; is it 0?"),
        ("1M8-GDM9AXKP04278i", "position 17 is 'i': a chassis number has no I, O or Q; is it 1?"),
        ("1M8GDM9AXKP04278_", "position 17 is '_': a chassis number has only letters and digits"),
        ("1M8GDM9AXKP04278٣", "position 17 is '٣': a chassis number has only letters and digits"),
        ("1M8GDM9AXKP04278ß", "position 17 is 'ß': a chassis number has only letters and digits"),
        ("1M8GDM9AXKP04278", "a chassis number has 17 characters, this one has 16; check it against the plate"),
        ("1M8GDM9AXKP0427888", "a chassis number has 17 characters, this one has 18; check it against the plate"),
        ("", "a chassis number has 17 characters, this one has 0; check it against the plate"),
    ],
)
def test_what_is_no_chassis_number_is_refused_in_one_sentence(typed, sentence):
    with pytest.raises(VinError) as refusal:
        normalise(typed)

    assert str(refusal.value) == sentence
    assert not check_digit_holds(typed)


def test_a_european_number_without_check_digit_is_still_a_chassis_number():
    vin = "ZZZ00000000000001"

    assert normalise(vin) == vin
    assert not check_digit_holds(vin)


@given(NUMBERS)
def test_putting_the_check_digit_in_its_place_makes_it_hold(vin):
    mended = vin[:8] + check_digit(vin) + vin[9:]

    assert check_digit_holds(mended)
    assert check_digit(mended) == check_digit(vin)


@given(NUMBERS.filter(lambda vin: any(map(str.isdigit, vin[:8] + vin[9:]))), st.data())
def test_one_wrong_digit_is_always_noticed(vin, data):
    mended = vin[:8] + check_digit(vin) + vin[9:]
    place = data.draw(st.sampled_from([at for at, letter in enumerate(mended) if letter.isdigit()]))
    digit = data.draw(st.sampled_from(string.digits.replace(mended[place], "")))
    wrong = mended[:place] + digit + mended[place + 1 :]

    assert not check_digit_holds(wrong)


@given(NUMBERS)
def test_normalising_twice_changes_nothing(vin):
    assert normalise(normalise(vin.lower())) == vin
    assert last_six(vin) == vin[11:]
