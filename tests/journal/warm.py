"""Starts servers soon: `python warm.py FOLDER` does once what every start does alike, then forks one for each line it reads.

Of each it says `pid N`, lets it say for itself where it serves, and says `gone` when it has ended.
"""

from __future__ import annotations

import os
import sys
from tempfile import TemporaryDirectory

import uvicorn  # noqa: F401  loaded before the first fork

from inspect_app import create_app
from inspect_app.cli import main
from inspect_app.serving import serve  # noqa: F401  likewise

if __name__ == "__main__":
    with TemporaryDirectory() as once:
        create_app(once).extensions["lampwalk"].close()
    for _ in sys.stdin:
        pid = os.fork()
        if pid == 0:
            os._exit(main(["serve", "--data", sys.argv[1], "--port", "0"]))
        print(f"pid {pid}", flush=True)
        os.waitpid(pid, 0)
        print("gone", flush=True)
