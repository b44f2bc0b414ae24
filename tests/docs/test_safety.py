"""docs/safety.md shows the cautions that the technician sees, the clause, and the rules that no screen replaces."""

from __future__ import annotations

from write_safety import PAGE, written

from inspect_app.trade import catalogue

TEXT = PAGE.read_text("utf-8")
BOOK = catalogue.builtin()


def test_the_page_is_what_the_catalogue_says():
    assert written(TEXT) == TEXT, "run: .venv/bin/python -m tests.docs.write_safety"


def test_the_clause_stands_on_the_page_word_for_word():
    assert f"> {BOOK.clause}" in TEXT


def test_every_method_is_there_with_each_of_its_cautions():
    for method in BOOK.methods.values():
        line = next(line for line in TEXT.splitlines() if line.startswith(f"| {method.label} |"))
        assert [key for key in method.cautions if BOOK.cautions[key].label not in line] == []


def test_every_method_that_needs_the_booth_warns_of_isocyanates_and_vapour():
    # Two-pack paint holds isocyanates: HSE guidance on isocyanates in vehicle repair.
    booth = [method for method in BOOK.methods.values() if method.booth]

    assert booth
    assert [method.key for method in booth if not {"isocyanate", "solvent"} <= set(method.cautions)] == []


def test_the_fire_watch_is_no_shorter_than_the_code_asks_for():
    # 29 CFR 1910.252(a)(2)(iii)(B): a fire watch at least half an hour after the work; (a)(2)(vii): 35 ft cleared
    # (the paragraphs from memory).
    flame = BOOK.cautions["flame"].wait

    assert "at least 30 minutes" in flame
    assert "11 m" in flame
    assert "A screen never replaces the watcher" in TEXT
