"""`make bench`: measure, print the table, write it into docs/performance.md."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.bench import table, writing


def main() -> int:
    """Run what can be measured so far; 1 when a claim was missed."""
    with tempfile.TemporaryDirectory(prefix="lampwalk-bench-") as folder:
        subjects = (writing.one_marker, writing.two_hundred, writing.fifty_tablets)
        findings = [one for subject in subjects for one in subject(Path(folder) / subject.__name__)]
    print(table.table(findings))
    table.write(findings)
    return 0 if all(one.held for one in findings) else 1


if __name__ == "__main__":
    sys.exit(main())
