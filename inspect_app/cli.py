"""The command `lampwalk`."""

from __future__ import annotations

import argparse
import logging
import sys
from collections.abc import Sequence
from pathlib import Path

from inspect_app.journal.events import Refusal
from inspect_app.journal.folder import FolderBusy


def parser() -> argparse.ArgumentParser:
    """Describe the commands."""
    top = argparse.ArgumentParser(
        prog="lampwalk", description="A defect logger for the walk around a finished van under the inspection lamps."
    )
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    serve = commands.add_parser("serve", help="serve a data folder, existing or empty")
    serve.add_argument(
        "--data", type=Path, required=True, metavar="DIR", help="the data folder; made when it is not there"
    )
    serve.add_argument("--host", default="127.0.0.1", metavar="H", help="address to listen on (default 127.0.0.1)")
    serve.add_argument(
        "--port", type=int, default=8440, metavar="N", help="port to listen on (default 8440; 0 takes a free one)"
    )
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
    run = {"serve": _serve, "units": _units, "verify": _verify}[asked.command]
    try:
        return run(asked)
    except (FolderBusy, Refusal, OSError) as fault:
        print(getattr(fault, "reason", None) or str(fault), file=sys.stderr)
        return 1


def _serve(asked: argparse.Namespace) -> int:
    from inspect_app import create_app
    from inspect_app.serving import serve

    app = create_app(asked.data)
    house = app.extensions["lampwalk"]

    def ready(port: int) -> None:
        print(f"Lampwalk serves {asked.data} at http://{asked.host}:{port}", flush=True)

    try:
        return serve(app.wsgi_app, asked.host, asked.port, data_dir=asked.data, on_start=house.open, ready=ready)
    finally:
        house.close()


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
