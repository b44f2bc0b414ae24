"""Write the tables of docs/safety.md from the catalogue: `python -m tests.docs.write_safety`."""

from __future__ import annotations

import re
from pathlib import Path

from inspect_app.trade import catalogue

PAGE = Path(__file__).parents[2] / "docs" / "safety.md"


def tables() -> str:
    """Cautions by method, and what each says."""
    book = catalogue.builtin()
    methods = [
        f"| {one.label} | {', '.join(book.cautions[key].label for key in one.cautions)} |"
        for one in book.methods.values()
    ]
    cautions = [
        f"| {one.label} | {one.danger} | {one.wear} | {one.wait} | {one.origin} |" for one in book.cautions.values()
    ]
    return "\n".join(
        ["| method | cautions |", "| --- | --- |", *methods, "", "## What each caution says", ""]
        + ["| caution | what can hurt | wear | wait | origin |", "| --- | --- | --- | --- | --- |", *cautions]
    )


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
