"""The table of what was found: printed, and written into docs/performance.md between two marks."""

from __future__ import annotations

import os
import platform
import re
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from tests.bench.measure import Finding

PAGE = Path(__file__).resolve().parents[2] / "docs" / "performance.md"
BEGIN, END = "<!-- bench: begin -->", "<!-- bench: end -->"


def table(findings: Sequence[Finding]) -> str:
    """Lay the findings out as Markdown, misses named below."""
    rows = [f"| {one.claim} | {_said(one.found, one.unit)} | {_bound(one)} | {_verdict(one)} |" for one in findings]
    missed = [one.claim for one in findings if not one.held]
    closing = "Missed: " + "; ".join(missed) + "." if missed else "Nothing was missed."
    head = "| claim | found | at most | |\n| --- | ---: | ---: | --- |"
    return "\n".join([_setting(), "", head, *rows, "", closing])


def _setting() -> str:
    return f"{os.cpu_count()} cores, Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}."


def _said(number: float, unit: str) -> str:
    return f"{number:.2f} ×" if unit == "×" else f"{number:.3g} {unit}"


def _bound(finding: Finding) -> str:
    return "" if finding.most is None else f"{finding.most:g} {finding.unit}"


def _verdict(finding: Finding) -> str:
    if finding.most is None:
        return "to compare"
    return "held" if finding.held else "**missed**"


def write(findings: Sequence[Finding], page: Path = PAGE) -> None:
    """Put the table between the marks of the page."""
    text = page.read_text("utf-8")
    marked = re.compile(f"{re.escape(BEGIN)}.*?{re.escape(END)}", re.S)
    page.write_text(marked.sub(lambda _: f"{BEGIN}\n{table(findings)}\n{END}", text), "utf-8")
