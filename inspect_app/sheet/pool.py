"""Sheets are made in a process of their own, so that a second of drawing never holds up a marker on its way in.

The process starts with the first sheet, warms up by itself, gives way to everything else on the machine, and ends
with the server, even when that is killed.
"""

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import wait
from typing import Any

from inspect_app.sheet.data import SheetData, SheetError
from inspect_app.words import N_

CRASHED = N_(
    "The sheet could not be made because its drawing process stopped; nothing is lost, ask for the sheet again."
)
CLOSED = N_("The sheet was not made because the server is closing; ask for it again when the server is back.")

Told = SheetData | Callable[[], SheetData]


def _warm() -> None:
    """Make the worker ready: leave Ctrl-C to the server, step back in the queue for the processor, load the fonts."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(10)
    from inspect_app.sheet.make import warm_up

    warm_up()


def _end_with_parent() -> None:
    """Leave when the server is gone: killed at once it cannot tell, and a worker would wait for work for ever."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def _work(told: Told, paper: Any) -> bytes:
    from inspect_app.sheet.make import make_sheet

    return make_sheet(told() if callable(told) else told, paper=paper)


class SheetPool:
    """Makes sheets in `workers` processes. Safe to use from any thread; also a context manager."""

    def __init__(self, workers: int = 1) -> None:
        """Take the number of processes, 1 or 2; none is started yet."""
        self._workers = workers
        self._lock = threading.Lock()
        self._executor: ProcessPoolExecutor | None = None
        self._closed = False

    def submit(self, told: Told, paper: str = "a4") -> "Future[bytes]":
        """Ask for a sheet on 'a4' or 'letter'; the future gives the PDF or raises SheetError with one sentence.

        What the sheet says is given, or a function that is called in the drawing process to find out.
        """
        answer: Future[bytes] = Future()
        answer.set_running_or_notify_cancel()
        try:
            executor, asked = self._ask(told, paper)
        except SheetError as error:
            answer.set_exception(error)
            return answer
        asked.add_done_callback(lambda done: self._pass_on(done, answer, executor))
        return answer

    def close(self) -> None:
        """Let the sheet being made finish, drop those that wait, end the processes."""
        with self._lock:
            self._closed, executor, self._executor = True, self._executor, None
        if executor is not None:
            executor.shutdown(wait=True, cancel_futures=True)

    def __enter__(self) -> "SheetPool":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _ask(self, told: Told, paper: str) -> "tuple[ProcessPoolExecutor, Future[bytes]]":
        """Hand the work over; a pool found broken is replaced once, so that only those in it when it broke fail."""
        with self._lock:
            for _ in range(2):
                if self._closed:
                    raise SheetError(CLOSED)
                executor = self._executor or self._start()
                self._executor = executor
                try:
                    return executor, executor.submit(_work, told, paper)
                except BrokenProcessPool:
                    self._executor = None
        raise SheetError(CRASHED)

    def _start(self) -> ProcessPoolExecutor:
        # spawn: a forked child of a server with threads can inherit a lock that is never let go
        context = multiprocessing.get_context("spawn")
        return ProcessPoolExecutor(max_workers=self._workers, mp_context=context, initializer=_warm)

    def _pass_on(self, done: "Future[bytes]", answer: "Future[bytes]", executor: ProcessPoolExecutor) -> None:
        if done.cancelled():
            answer.set_exception(SheetError(CLOSED))
            return
        error = done.exception()
        if error is None:
            answer.set_result(done.result())
            return
        if isinstance(error, BrokenProcessPool):
            self._forget(executor)
            error = SheetError(CRASHED)
        answer.set_exception(error)

    def _forget(self, executor: ProcessPoolExecutor) -> None:
        with self._lock:
            if self._executor is executor:
                self._executor = None
