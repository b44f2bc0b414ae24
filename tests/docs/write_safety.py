"""Write the tables of docs/safety.md from the catalogue: `python -m tests.docs.write_safety`."""

from __future__ import annotations

import re
from pathlib import Path

from inspect_app.trade import catalogue
from inspect_app.trade.catalogue_rows import Method
from inspect_app.trade.catalogue_table import timer_words

PAGE = Path(__file__).parents[2] / "docs" / "safety.md"


def tables() -> str:
    """Cautions by method, and what each says."""
    book = catalogue.builtin()
    return "\n".join(
        [
            *_table("method", "cautions"),
            *(_line(one.label, _cautions(book, one)) for one in book.methods.values()),
            "",
            "## What each caution says",
            "",
            *_table("caution", "what can hurt", "wear", "wait", "timer", "origin"),
            *(
                _line(one.label, one.danger, one.wear, one.wait, timer_words(one), one.origin)
                for one in book.cautions.values()
            ),
        ]
    )


def _cautions(book: catalogue.Catalogue, method: Method) -> str:
    return ", ".join(book.cautions[key].label for key in method.cautions)


def _table(*heads: str) -> list[str]:
    return [_line(*heads), _line(*["---"] * len(heads))]


def _line(*cells: str) -> str:
    return f"| {' | '.join(cells)} |"


def written(page: str) -> str:
    """The page with its tables written anew."""
    page, times = re.subn(
        r"(<!-- cautions: [^\n]* -->\n).*?(<!-- end of cautions -->)",
        lambda marks: f"{marks[1]}\n{tables()}\n\n{marks[2]}",
        page,
        flags=re.S,
    )
    if times != 1:
        raise ValueError("docs/safety.md needs one place for the cautions, between its two marks")
    return page


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text("utf-8")), "utf-8")
