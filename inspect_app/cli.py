"""The command `lampwalk`."""

from __future__ import annotations

import argparse
import logging
import sys
from collections.abc import Sequence
from pathlib import Path

from inspect_app import serve_command
from inspect_app.journal.events import Refusal
from inspect_app.journal.folder import FolderBusy
from inspect_app.words.languages import Unreadable


def parser() -> argparse.ArgumentParser:
    """Describe the commands."""
    top = argparse.ArgumentParser(
        prog="lampwalk", description="A defect logger for the walk around a finished van under the inspection lamps."
    )
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    serve_command.describe(commands.add_parser("serve", help="serve a data folder, existing or empty"))
    units = commands.add_parser("units", help="units of the plant").add_subparsers(
        dest="units", required=True, metavar="WHAT"
    )
    bring = units.add_parser("import", help="bring in units from a file a shop exports")
    bring.add_argument("file", type=Path, metavar="FILE.csv", help="the list, with commas, semicolons or tabs")
    bring.add_argument(
        "--data", type=Path, required=True, metavar="DIR", help="the data folder; no server may run on it"
    )
    verify = commands.add_parser("verify", help="walk every chain, rebuild the tables and compare")
    verify.add_argument(
        "--data", type=Path, required=True, metavar="DIR", help="the data folder; a server may run on it"
    )
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; 0 when all went well, 1 with one sentence when not, 2 for a command that is not understood."""
    asked = parser().parse_args(arguments)
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(name)s %(message)s", stream=sys.stderr)
    run = {"serve": serve_command.run, "units": _units, "verify": _verify}[asked.command]
    try:
        return run(asked)
    except (FolderBusy, Refusal, Unreadable, OSError) as fault:
        print(getattr(fault, "reason", None) or str(fault), file=sys.stderr)
        return 1


def _units(asked: argparse.Namespace) -> int:
    from inspect_app.rooms.units.bring import bring_file

    return bring_file(asked.file, asked.data)


def _verify(asked: argparse.Namespace) -> int:
    from inspect_app.journal.verify import verify

    if not (asked.data / "lampwalk.db").exists():
        print(f"There is no Lampwalk data in {asked.data}; name the folder that 'serve' uses.", file=sys.stderr)
        return 1
    told = verify(asked.data)
    print(told.sentence, file=sys.stdout if told.clean else sys.stderr)
    return 0 if told.clean else 1
