"""Figures, days and times as the reader writes them, held against the Unicode CLDR as Babel has it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

import pytest
from babel.dates import format_time
from babel.numbers import format_decimal
from playwright.sync_api import Browser

from .stub import Stub

pytestmark = pytest.mark.browser

MOMENT = datetime(2026, 12, 2, 14, 5)
FIGURES = """async ([formats, calls]) => {
  if (formats !== null) document.documentElement.dataset.formats = formats;
  const figures = await import('/client/figures.js');
  return calls.map(([name, ...given]) => figures[name](...given));
}"""


@pytest.fixture(scope="module")
def figures(browser: Browser) -> Iterator[Any]:
    """Calls of figures.js on a page that was made for one way of writing; None: the page does not say."""
    stub, pages = Stub(), {}
    port = stub.start()
    context = browser.new_context(timezone_id="UTC")

    def called(formats: str | None, *calls: tuple[Any, ...]) -> list[Any]:
        if formats not in pages:
            pages[formats] = context.new_page()
            pages[formats].goto(f"http://127.0.0.1:{port}/")
        told: list[Any] = pages[formats].evaluate(FIGURES, [formats, [list(call) for call in calls]])
        return told

    yield called
    context.close()
    stub.stop()


def ms(day: int, hour: int = 14, minute: int = 5) -> int:
    return int(datetime.fromisoformat(f"2026-12-{day:02}T{hour:02}:{minute:02}:00+00:00").timestamp() * 1000)


@pytest.mark.parametrize("formats", [None, "", "en-GB", "none at all"])
def test_where_nobody_chose_it_is_the_houses_own_form(figures, formats):
    told = figures(
        formats, ("tenth", 8), ("tenth", 20), ("time", ms(2)), ("weekday", ms(2), ms(1)), ("weekday", ms(12), ms(1)),
        ("lasting", 59), ("lasting", 200), ("lasting", 120), ("megabytes", 3_000_000), ("megabytes", 1.25e9),
    )  # fmt: skip

    assert told == [
        "0.8", "2", "14:05", "Wed", "Sat 12 Dec", "59 min", "3 h 20 min", "2 h", "3.0 MB", "1.3 GB",
    ]  # fmt: skip


@pytest.mark.parametrize("locale", ["de_DE", "fr_FR", "pl_PL", "en_US", "nb_NO", "uk_UA"])
def test_figures_and_times_are_written_as_in_the_cldr(figures, locale):
    told = figures(locale.replace("_", "-"), ("tenth", 8), ("decimal", -12.25, 2), ("tenth", 12345), ("time", ms(2)))

    plain = [format_decimal(value, format="0.##", locale=locale) for value in (0.8, -12.25, 1234.5)]
    assert [text.replace("−", "-") for text in told[:3]] == [
        text.replace("−", "-") for text in plain
    ]  # two minus signs
    spaces = str.maketrans({"\u202f": " ", "\u00a0": " "})
    wanted = format_time(MOMENT.time(), "short", locale=locale).translate(spaces)
    assert told[3].translate(spaces).lstrip("0") == wanted.lstrip("0")


def test_a_typed_number_may_have_a_comma_or_a_point(figures):
    good = {"0,8": 0.8, "0.8": 0.8, " 12 ": 12, ",5": 0.5, "3.": 3, "-1,5": -1.5, "−2": -2, "+4": 4}

    assert figures("de-DE", *(("typed", text) for text in good)) == list(good.values())


@pytest.mark.parametrize("text", ["", " ", "1.234,5", "1,234.5", "1e5", "0x10", "1 2", "Infinity", ",", "eins"])
def test_what_is_no_number_is_none(figures, text):
    (told,) = figures("de-DE", ("typed", text))

    assert told != told  # NaN is the one number that differs from itself


def test_a_day_without_a_time_ends_with_its_last_minute(figures):
    assert figures("en-US", ("endsItsDay", ms(2, 23, 59)), ("endsItsDay", ms(2, 23, 58))) == [True, False]
