"""Starts servers soon: `python warm.py FOLDER` does once what every start does alike, then forks one for each line it reads.

Of each it says `pid N`, lets it say for itself where it serves, and says `gone` when it has ended.
"""

from __future__ import annotations

import gc
import os
import sys
from tempfile import TemporaryDirectory

import uvicorn  # noqa: F401  loaded before the first fork

from inspect_app import create_app
from inspect_app.cli import main
from inspect_app.rooms.signoff import press  # noqa: F401  likewise
from inspect_app.serving import serve  # noqa: F401  likewise

if __name__ == "__main__":
    with TemporaryDirectory() as once:
        for _ in ("a new folder", "one that is there"):
            create_app(once).extensions["lampwalk"].close()
    gc.collect()
    gc.freeze()  # what is there before a fork is not copied to search it for garbage
    for _ in sys.stdin:
        pid = os.fork()
        if pid == 0:
            os._exit(main(["serve", "--data", sys.argv[1], "--port", "0"]))
        print(f"pid {pid}", flush=True)
        os.waitpid(pid, 0)
        print("gone", flush=True)
