"""`make bench`: measure, print the table, write it into docs/performance.md."""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.bench import browser, pages, sheets, table, writing
from tests.bench.measure import Finding

SUBJECTS: tuple[Callable[[Path], list[Finding]], ...] = (
    writing.one_marker,
    writing.two_hundred,
    writing.fifty_tablets,
    pages.with_years_behind,
    browser.walk_page,
    sheets.sheet,
)


def main() -> int:
    """Measure every claim; 1 when one was missed."""
    with tempfile.TemporaryDirectory(prefix="lampwalk-bench-") as folder:
        findings = [one for subject in SUBJECTS for one in _told(subject, Path(folder))]
    print(table.table(findings))
    table.write(findings)
    return 0 if all(one.held for one in findings) else 1


def _told(subject: Callable[[Path], list[Finding]], folder: Path) -> list[Finding]:
    started = time.monotonic()
    found = subject(folder / subject.__name__)
    print(f"{subject.__module__}.{subject.__name__}: {time.monotonic() - started:.0f} s", file=sys.stderr)
    return found


if __name__ == "__main__":
    sys.exit(main())
