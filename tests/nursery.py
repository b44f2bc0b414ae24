"""Python processes that start soon: one that has loaded the product forks a process for each that is asked for.

What is forked is a process like any other, with streams of its own, and ends as one; it is only spared the imports, which
take longer than most of what is asked of it.
"""

from __future__ import annotations

import atexit
import gc
import json
import os
import runpy
import select
import signal
import socket
import subprocess
import sys
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO


class Forked:
    """What `python ARGUMENTS` would do, already running; as much of a `subprocess.Popen` as tests ask for."""

    def __init__(self, arguments: Sequence[object], *, stderr: IO[str] | None = None) -> None:
        self.returncode: int | None = None
        read, write = os.pipe()
        self.stdout = os.fdopen(read)
        told, tell = os.pipe()
        self._told = os.fdopen(told)
        with open(os.devnull, "w") as nowhere:
            streams = [write, (stderr or nowhere).fileno(), tell]
            line = json.dumps([str(one) for one in arguments]).encode() + b"\n"
            socket.send_fds(_nursery(), [line], streams)
            os.close(write)
            os.close(tell)
            self.pid = int(self._told.readline())

    def wait(self, timeout: float) -> int:
        """Return the exit code once it has ended, negative for a signal; TimeoutExpired when it does not end."""
        if self.returncode is None:
            if not select.select([self._told], [], [], timeout)[0]:
                raise subprocess.TimeoutExpired(str(self.pid), timeout)
            self.returncode = int(self._told.readline())
            self._told.close()
        return self.returncode

    def send_signal(self, how: signal.Signals) -> None:
        """Send a signal to it, unless it has ended: its number may be another's then."""
        if self.returncode is None and not select.select([self._told], [], [], 0)[0]:
            os.kill(self.pid, how)

    def close(self, timeout: float = 30) -> None:
        """End it for certain."""
        self.send_signal(signal.SIGKILL)
        self.wait(timeout)
        self.stdout.close()


@cache
def _nursery() -> socket.socket:
    """The line to the process that forks; that one ends with the line."""
    ours, theirs = socket.socketpair()
    here = str(Path(__file__).parent.parent)
    with theirs:
        command = [sys.executable, "-m", "tests.nursery", str(theirs.fileno())]
        environment = {**os.environ, "PYTHONPATH": here}
        process = subprocess.Popen(command, pass_fds=[theirs.fileno()], env=environment)

    def end() -> None:
        ours.close()
        process.wait(30)

    atexit.register(end)
    return ours


def _warm() -> None:
    """Do once what every start does alike, on an empty folder and on one that is there."""
    import uvicorn  # noqa: F401

    from inspect_app import create_app
    from inspect_app.rooms.signoff import press  # noqa: F401
    from inspect_app.serving import serve, tls  # noqa: F401

    with TemporaryDirectory() as folder:
        for _ in range(2):
            create_app(folder).extensions["lampwalk"].close()
    gc.collect()
    gc.freeze()  # what is there before a fork is not copied to search it for garbage


def _listen(line: socket.socket) -> list[str]:
    """Fork for each that asks; return what to run, in the process that is to run it."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # those that keep watch are not waited for
    while True:
        text, streams, _flags, _from = socket.recv_fds(line, 65536, 3)
        if not text:
            sys.exit()
        if os.fork() == 0:
            break
        for stream in streams:
            os.close(stream)
    line.close()
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    out, errors, tell = streams
    pid = os.fork()
    if pid:
        os.close(out)
        os.write(tell, b"%d\n" % pid)
        _, status = os.waitpid(pid, 0)
        os.write(tell, b"%d\n" % os.waitstatus_to_exitcode(status))
        os._exit(0)
    os.close(tell)
    os.dup2(out, 1)
    os.dup2(errors, 2)
    os.close(out)
    os.close(errors)
    return list(json.loads(text))


def _run(arguments: list[str]) -> None:
    """Do what the interpreter does with arguments: a module after `-m`, else a file."""
    if arguments[0] == "-m":
        sys.argv = arguments[1:]
        runpy.run_module(arguments[1], run_name="__main__", alter_sys=True)
    else:
        sys.argv = arguments
        sys.path[0] = str(Path(arguments[0]).parent)
        runpy.run_path(arguments[0], run_name="__main__")


if __name__ == "__main__":
    _warm()
    _run(_listen(socket.socket(fileno=int(sys.argv[1]))))
