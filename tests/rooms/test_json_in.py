"""JSON is read and written as Python's own json module does it, only sooner; and no deeper than may be."""

import datetime
import json
import math

import pytest
from flask import Flask
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.rooms.json_in import DEEPEST, JsonIn

WORDS = st.text(st.characters(), max_size=12)  # halves of surrogate pairs too
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.integers(-(2**70), 2**70)
    | st.floats(allow_nan=False, allow_infinity=False)
    | WORDS,
    lambda inside: st.lists(inside, max_size=4) | st.dictionaries(WORDS, inside, max_size=4),
    max_leaves=12,
)


@pytest.fixture(scope="module")
def provider():
    return JsonIn(Flask(__name__))


@settings(deadline=None)
@given(VALUES)
def test_what_is_read_is_what_python_reads(provider, value):
    text = json.dumps(value)

    read = provider.loads(text)

    assert repr(read) == repr(json.loads(text))  # repr tells 1 from 1.0


@settings(deadline=None)
@given(VALUES)
def test_what_is_written_is_read_back_by_python(provider, value):
    written = provider.dumps(value, separators=(",", ":"))

    assert json.loads(written) == json.loads(json.dumps(value))


def test_a_number_beyond_64_bits_keeps_its_last_digit(provider):
    assert provider.loads('{"at": 18446744073709551617}') == {"at": 18446744073709551617}


def test_what_python_alone_reads_is_still_read_and_never_written(provider):
    assert math.isnan(provider.loads("[NaN]")[0])
    assert provider.loads("[-Infinity]") == [-math.inf]
    assert provider.dumps([math.nan, math.inf]) == "[null,null]"  # RFC 8259, 6: neither is JSON


def test_dates_are_written_as_flask_writes_them(provider):
    # RFC 9110, 5.6.7: the form of dates in HTTP, which Flask uses in JSON too
    assert json.loads(provider.dumps({"day": datetime.date(2026, 11, 25)})) == {"day": "Wed, 25 Nov 2026 00:00:00 GMT"}


@pytest.mark.parametrize("pair", ["[]", "{}"])
def test_nesting_ends_at_its_limit_and_not_one_level_later(provider, pair):
    opened = "[" if pair == "[]" else '{"a":'

    def nested(levels):
        return opened * (levels - 1) + pair + pair[1] * (levels - 1)

    assert provider.loads(nested(DEEPEST)) == json.loads(nested(DEEPEST))
    for levels in (DEEPEST + 1, 5_000, 200_000):
        with pytest.raises(ValueError, match="nested too deep"):
            provider.loads(nested(levels))


def test_brackets_in_words_are_words(provider):
    note = "[" * 100 + "}{" * 100

    assert provider.loads(json.dumps({"note": note})) == {"note": note}
