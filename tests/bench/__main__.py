"""`make bench`: measure, print the table, write it into docs/performance.md. Named subjects are measured and printed only."""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.bench import browser, judgement, pages, photographs, sheets, shift, table, work_list, writing
from tests.bench.measure import Finding

SUBJECTS: tuple[Callable[[Path], list[Finding]], ...] = (
    writing.one_marker,
    writing.two_hundred,
    writing.fifty_tablets,
    photographs.with_photos,
    photographs.cleaning,
    shift.busy_shift,
    pages.with_years_behind,
    browser.walk_page,
    sheets.sheet,
    judgement.verdicts_of_500,
    judgement.plan_of_60,
    work_list.work_list_of_5000,
)


def main(names: Sequence[str] = ()) -> int:
    """Measure every claim, or those of the subjects named; 1 when one was missed, 2 when a name is not known."""
    known = {subject.__name__: subject for subject in SUBJECTS}
    if strange := [name for name in names if name not in known]:
        print(f"There is no subject '{strange[0]}'; there are {', '.join(known)}.", file=sys.stderr)
        return 2
    chosen = [known[name] for name in names] or SUBJECTS
    with tempfile.TemporaryDirectory(prefix="lampwalk-bench-") as folder:
        findings = [one for subject in chosen for one in _told(subject, Path(folder))]
    print(table.table(findings))
    if not names:
        table.write(findings)
    return 0 if all(one.held for one in findings) else 1


def _told(subject: Callable[[Path], list[Finding]], folder: Path) -> list[Finding]:
    started = time.monotonic()
    found = subject(folder / subject.__name__)
    print(f"{subject.__module__}.{subject.__name__}: {time.monotonic() - started:.0f} s", file=sys.stderr)
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
