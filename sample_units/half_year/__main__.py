"""Make half a year of the invented plant, and serve it if asked.

python -m sample_units.half_year DATA [--units N] [--seed N] [--scale N] [--serve PORT]
"""

from __future__ import annotations

import argparse
import logging
import shutil
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from inspect_app.journal.events import Refusal
from inspect_app.journal.folder import FolderBusy
from inspect_app.journal.journal import now_ms
from sample_units import demo
from sample_units.half_year import grow, make
from sample_units.half_year.key import DAYS
from sample_units.half_year.plan import SEED, UNITS


def main(arguments: Sequence[str] | None = None) -> int:
    """Make the plant where there is none, and serve it if asked; 0 when all went well, 1 with one sentence when not."""
    asked = _parser().parse_args(arguments)
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(name)s %(message)s", stream=sys.stderr)
    if asked.scale > 1 and asked.serve is None and not demo.is_empty(asked.data):
        print(f"{asked.data} is not empty; --scale makes a new plant, so name another folder.", file=sys.stderr)
        return 1
    try:
        if demo.is_empty(asked.data):
            _make(asked)
        return 0 if asked.serve is None else demo.serve(asked.data, asked.serve)
    except (FolderBusy, Refusal, OSError) as fault:
        print(getattr(fault, "reason", None) or str(fault), file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m sample_units.half_year", description=__doc__.splitlines()[0])
    parser.add_argument("data", type=Path, metavar="DATA", help="the plant's data folder")
    parser.add_argument("--units", type=_many, default=UNITS, metavar="N", help=f"vans (default {UNITS})")
    parser.add_argument("--seed", type=int, default=SEED, metavar="N", help=f"another number, another plant ({SEED})")
    parser.add_argument(
        "--scale", type=_many, default=1, metavar="N", help="copy signed vans until there are N times as many"
    )
    parser.add_argument("--no-photos", action="store_true", help="leave the photos out")
    parser.add_argument("--serve", type=int, metavar="PORT", help="serve it afterwards")
    return parser


def _many(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"must be a whole number from 1 on (got '{text}')")
    return int(text)


def _make(asked: argparse.Namespace) -> None:
    """Make it beside the folder and move it there whole, so that no half of one is served."""
    print(f"Making half a year of the sample plant in {asked.data}: {asked.units} vans …", flush=True)
    begun = time.perf_counter()
    beside = asked.data.absolute().with_name(f"{asked.data.name}.being-made")
    shutil.rmtree(beside, ignore_errors=True)
    made = make.build(beside, now_ms(), seed=asked.seed, units=asked.units, photos=not asked.no_photos, said=_said)
    if asked.scale > 1:
        with made.phase("copies"):
            grow.grow(beside, asked.scale)
    if asked.data.exists():
        asked.data.rmdir()
    beside.rename(asked.data)
    phases = ", ".join(f"{name} {seconds:.1f} s" for name, seconds in made.seconds.items())
    print(f"\rMade in {time.perf_counter() - begun:.1f} s ({phases}).", flush=True)
    if asked.serve is None:
        print(demo.sign_ins(asked.data), flush=True)


def _said(day: int) -> None:
    if day % 5 == 4 and 0 <= day < DAYS and sys.stdout.isatty():
        print(f"\r  week {day // 5 + 1} of 26", end="", flush=True)


if __name__ == "__main__":
    sys.exit(main())
