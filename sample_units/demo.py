"""The small invented plant behind `make demo`: made through the journal when its folder is empty, then served.

python -m sample_units.demo --data DIR --port N [--no-serve]
"""

from __future__ import annotations

import argparse
import logging
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from zoneinfo import ZoneInfo

from inspect_app.journal import Journal
from inspect_app.journal.events import Refusal
from inspect_app.journal.folder import FolderBusy
from inspect_app.journal.journal import PLANT, now_ms
from inspect_app.photos import Store
from sample_units import people
from sample_units.days import Days, SetClock, tell
from sample_units.history import TOLD
from sample_units.marks import specs
from sample_units.pictures import Darkroom
from sample_units.van import Shop, Van

FIRST_DAY = -13  # working days; the oldest story begins after it


def main(arguments: Sequence[str] | None = None) -> int:
    """Make the demo where there is none, and serve it; 0 when all went well, 1 with one sentence when not."""
    asked = _parser().parse_args(arguments)
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(name)s %(message)s", stream=sys.stderr)
    try:
        if is_empty(asked.data):
            print(f"Making the demo plant in {asked.data}: ten vans, a dozen people …", flush=True)
            make(asked.data, small=asked.small)
        if asked.no_serve:
            print(sign_ins(asked.data), flush=True)
            return 0
        return serve(asked.data, asked.port)
    except (FolderBusy, Refusal, OSError) as fault:
        print(getattr(fault, "reason", None) or str(fault), file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m sample_units.demo", description=__doc__.splitlines()[0])
    parser.add_argument("--data", type=Path, required=True, metavar="DIR", help="the demo's data folder")
    parser.add_argument("--port", type=int, default=8440, metavar="N", help="port to listen on (default 8440)")
    parser.add_argument("--small", action="store_true", help="draw its photos small and quickly")
    parser.add_argument("--no-serve", action="store_true", help="make it and stop")
    return parser


def is_empty(folder: Path) -> bool:
    """Whether there is nothing in the folder, or no such folder."""
    return not folder.exists() or not any(folder.iterdir())


def make(folder: Path, now: Callable[[], int] = now_ms, *, small: bool = False) -> None:
    """Make the plant in an empty folder: beside it, then moved there whole, so that no half of one is served."""
    beside = folder.absolute().with_name(f"{folder.name}.being-made")
    shutil.rmtree(beside, ignore_errors=True)
    build(beside, now(), small=small)
    if folder.exists():
        folder.rmdir()
    beside.rename(folder)


def build(folder: Path, now: int, *, small: bool = False) -> None:
    """Tell the ten stories into the journal of a folder, as if it were lived through until `now` (ms UTC).

    `small`: its photos are drawn in a sixth of the time, and are 640 by 480 px.
    """
    settings, crew, vans = people.settings(), people.cast(), specs()
    zone = here()
    days = Days(now=now, zone=zone)
    clock = SetClock(days.day(FIRST_DAY, "07:00"))
    with Darkroom(vans, small=small) as darkroom, Journal(folder, clock=clock, lasting=False) as journal:
        for name, value in {**settings, "timezone": zone.key}.items():
            journal.record_server(PLANT, "setting_changed", {"name": name, "value": value})
        shop = Shop(
            journal=journal, clock=clock, days=days, store=Store(journal.folder.photos), darkroom=darkroom,
            people=crew, crew=people.hire_all(journal, crew), plant=settings["plant"],
        )  # fmt: skip
        tell((TOLD[spec.key](Van(shop, spec)) for spec in vans), clock)
        if clock.now > now:
            raise AssertionError("a story of the demo goes on after now; begin it earlier")


def here() -> ZoneInfo:
    """This computer's time zone, so that the demo's hours are those on the wall; UTC where it cannot be told."""
    link = Path("/etc/localtime")
    name = str(link.resolve()).partition("zoneinfo/")[2] if link.is_symlink() else ""
    try:
        return ZoneInfo(name or "UTC")
    except (ValueError, KeyError):
        return ZoneInfo("UTC")


def sign_ins(folder: Path) -> str:
    """The demo sign-ins as a table, "" for a plant that is not the demo's."""
    with Journal(folder) as journal:
        return _sign_ins(journal)


def _sign_ins(journal: Journal) -> str:
    known = {row["name"] for row in journal.read().execute("SELECT name FROM people WHERE state = 'active'")}
    cast = [person for person in people.everyone() if person.name in known]
    return f"\nSign in as one of these:\n\n{people.table(cast)}\n" if cast else ""


def serve(folder: Path, port: int) -> int:
    """Serve a folder as `lampwalk serve` does, saying where, and who may sign in."""
    from inspect_app import create_app, serving

    app = create_app(folder)
    house = app.extensions["lampwalk"]

    def ready(taken: int) -> None:
        print(_sign_ins(house.journal))
        print(f"Lampwalk serves {folder} at http://127.0.0.1:{taken}   (Ctrl-C stops it)", flush=True)

    try:
        return serving.serve(app.wsgi_app, "127.0.0.1", port, data_dir=folder, on_start=house.open, ready=ready)
    finally:
        house.close()


if __name__ == "__main__":
    sys.exit(main())
