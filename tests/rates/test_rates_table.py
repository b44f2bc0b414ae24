"""The lines of the table and the sentence over it."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app import rates
from inspect_app.rates.table import Row, line, lines, why_hidden
from inspect_app.rates.words import figure, line_words, sentence, units


def row(key="paint", count=136, exposure=22, assumed_count=30):
    return Row(key=key, count=count, exposure=exposure, assumed_count=assumed_count)


def test_a_line_has_rate_interval_n_and_the_share_assumed():
    # The ends themselves are held against published tables in test_rates_poisson.py.
    made = line(row())

    assert (made.count, made.n, made.hidden) == (136, 22, None)
    assert made.rate == pytest.approx(6.181818, abs=1e-6)
    assert (round(made.low, 2), round(made.high, 2)) == (5.19, 7.31)
    assert made.assumed == pytest.approx(30 / 136)


def test_the_highest_rate_comes_first_and_what_is_hidden_last():
    rows = [row("trim", 9), row("few", 90, 4), row("body", 50), row("aged", 9)]
    made = lines([Row(key=one.key, count=one.count, exposure=one.exposure) for one in rows])

    assert [one.key for one in made] == ["body", "aged", "trim", "few"]


@given(exposure=st.floats(0, 4.99))
def test_a_rate_on_fewer_than_five_vans_is_hidden_and_says_so(exposure):
    made = line(Row(key="trim", count=7, exposure=exposure))

    assert (made.rate, made.low, made.high) == (None, None, None)
    assert made.count == 7
    assert made.hidden


@pytest.mark.parametrize(
    ("exposure", "words"),
    [(0, "no vans yet"), (1, "only 1 van, a rate needs 5"), (4, "only 4 vans, a rate needs 5"), (5, None)],
)
def test_why_a_rate_is_hidden(exposure, words):
    assert why_hidden(exposure) == words


def test_of_no_flaws_no_share_is_assumed():
    assert line(row(count=0, assumed_count=0)).assumed is None


@pytest.mark.parametrize("assumed", [-1, 137])
def test_more_assumed_than_counted_is_refused(assumed):
    with pytest.raises(ValueError, match=r"'assumed_count' must be 0 to 136 .* 'paint'"):
        line(row(assumed_count=assumed))


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0, "0"),
        (0.0042, "0.0042"),
        (0.06, "0.06"),
        (0.449, "0.45"),
        (0.996, "1.0"),
        (6.18, "6.2"),
        (99.96, "100"),
        (143.4, "143"),
    ],
)
def test_a_figure_has_the_places_it_can_bear(value, words):
    assert figure(value) == words


def test_units_are_counted_in_words():
    assert (units(1), units(22), units(1.5)) == ("1 van", "22 vans", "1.5 vans")


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (row(), "6.2 marks a van (5.2 to 7.3, 22 vans)"),
        (row(count=0, assumed_count=0), "no marks on 22 vans (up to 0.17 a van)"),
        (row(count=22), "1.0 mark a van (0.63 to 1.5, 22 vans)"),
        (row(count=1, exposure=3, assumed_count=0), "1 mark; only 3 vans, a rate needs 5"),
    ],
)
def test_a_line_in_words(made, words):
    made = row(made.key, made.count, made.exposure, 0)

    assert line_words(line(made)) == words


def test_the_sentence_names_the_highest():
    made = lines([row("paint"), row("body", 40, 22, 0)])

    assert sentence(made, labels={"paint": "paint"}) == "Paint makes most: 6.2 marks a van (5.2 to 7.3, 22 vans)."


def test_the_sentence_does_not_read_out_an_order_that_chance_could_turn_round():
    made = lines([row("paint", 60), row("body", 50), row("trim", 48), row("fit", 3, 22, 0)])

    assert sentence(made, labels={"body": "the body shop"}).endswith(
        "It is too near to the body shop and trim to tell them apart on these numbers."
    )


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], "Nothing has been counted in this period."),
        ([row(count=3, exposure=2, assumed_count=0)], "There is no rate to show yet: only 2 vans, a rate needs 5."),
        ([row(count=0, assumed_count=0)], "Nothing was found: no marks on 22 vans (up to 0.17 a van)."),
    ],
)
def test_the_sentence_admits_when_there_is_nothing_to_say(rows, words):
    assert sentence(lines(rows)) == words


def test_the_package_itself_loads_no_scipy_no_flask_and_no_sqlite():
    names = "scipy flask sqlite3 sqlite_utils numpy"
    script = (
        "import sys, inspect_app\nbefore = set(sys.modules)\n"
        "import inspect_app.rates.plot, inspect_app.rates.table, inspect_app.rates.words\n"
        f"print(sorted(set('{names}'.split()) & (set(sys.modules) - before)))"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert run.stdout == "[]\n"


@pytest.mark.parametrize("path", sorted(Path(rates.__file__).parent.glob("*.py")), ids=lambda path: path.name)
def test_the_package_imports_only_itself_the_words_and_pure_libraries(path):
    imported = set(re.findall(r"^\s*(?:from|import) ([\w.]+)", path.read_text(), re.MULTILINE))
    own = {name for name in imported if name.startswith(("inspect_app.rates", "inspect_app.words"))}

    assert {name.split(".")[0] for name in imported - own} <= {*sys.stdlib_module_names} - {"sqlite3", "time"} | {
        "scipy"
    }
