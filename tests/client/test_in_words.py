"""What people wrote, put into sentences."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("still rough", "Still rough."),
        ("Still rough.", "Still rough."),
        (" still rough. ", "Still rough."),
        ("is it wax?", "Is it wax?"),
        ("żółty pył!", "Żółty pył!"),
        ("he said “no.”", "He said “no.”"),
        ("see B2…", "See B2…"),
        ("", ""),
    ],
)
def test_a_sentence_has_a_capital_and_one_end(modules: Page, written: str, said: str) -> None:
    found = modules.evaluate("async (words) => (await import('/client/in_words.js')).sentence(words)", written)

    assert found == said


@pytest.mark.parametrize(
    ("written", "said"), [("clips. ", "clips"), ("a lamp, 12 V", "a lamp, 12 V"), ("wait...", "wait")]
)
def test_what_goes_on_has_no_full_stop_before_it(modules: Page, written: str, said: str) -> None:
    assert modules.evaluate("async (words) => (await import('/client/in_words.js')).unended(words)", written) == said
