"""Run the WSGI application in a bounded pool of threads, and collect its whole answer there."""

import logging
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, cast

from a2wsgi import WSGIMiddleware

from inspect_app.serving.intake import Parcel
from inspect_app.serving.limits import Limits
from inspect_app.serving.refusal import Answer, Message, Scope, broken

log = logging.getLogger("lampwalk.serving")
WSGIApp = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]


class AnswerTooLarge(Exception):
    """The application produced more than may be buffered."""


@dataclass(kw_only=True)
class _Order:
    """One request on its way through the pool."""

    parcel: Parcel
    answer: Answer | None = None


class Bridge:
    """Hands requests to a2wsgi's pool of `limits.threads` threads.

    a2wsgi makes the environ and owns the threads. Body and answer travel beside it, whole: with its own streaming every
    piece would cost a hop from thread to loop and back, and an abandoned answer would leave its thread waiting.
    """

    def __init__(self, wsgi_app: WSGIApp, limits: Limits) -> None:
        self._app = wsgi_app
        self._limits = limits
        self._pool = WSGIMiddleware(cast(Any, self._in_thread), workers=limits.threads)
        self._a2wsgi = cast(Any, self._pool)  # its types are of its own making
        self._count = threading.Lock()
        self.busy = 0

    async def run(self, scope: Scope, parcel: Parcel) -> Answer:
        """Return the application's answer; a fault in it is logged and becomes a 500."""
        order = _Order(parcel=parcel)
        # "a_b" and "a-b" are one name in a WSGI environ, so the first could pose as the second.
        headers = [(name, value) for name, value in scope["headers"] if b"_" not in name and name != b"proxy"]
        await self._a2wsgi({**scope, "headers": headers, "lampwalk.order": order}, _no_body, _ignore)
        return order.answer or broken()

    def close(self) -> None:
        """Start no further request; threads still at work are left to finish."""
        self._pool.executor.shutdown(wait=False, cancel_futures=True)

    def _in_thread(self, environ: dict[str, Any], start_response: object) -> Iterable[bytes]:
        order: _Order = environ.pop("asgi.scope")["lampwalk.order"]
        try:
            with self._counted():
                order.answer = collect(self._app, complete(environ, order.parcel), self._limits.answer_bytes)
        except AnswerTooLarge:
            most = self._limits.answer_bytes
            log.error("%s %r answered with more than %d bytes; hand it over as a file", *_what(environ), most)
        except BaseException:  # not even SystemExit from a view may end the server
            log.exception("%s %r failed", *_what(environ))
        return ()

    @contextmanager
    def _counted(self) -> Iterator[None]:
        with self._count:
            self.busy += 1
        try:
            yield
        finally:
            with self._count:
                self.busy -= 1


def complete(environ: dict[str, Any], parcel: Parcel) -> dict[str, Any]:
    """Put the buffered body into an environ, and say the truth about it."""
    environ.pop("HTTP_TRANSFER_ENCODING", None)
    if parcel.size or "CONTENT_LENGTH" in environ:
        environ["CONTENT_LENGTH"] = str(parcel.size)
    environ.update({
        "wsgi.input": parcel.file, "wsgi.input_terminated": True, "wsgi.errors": sys.stderr, "wsgi.multiprocess": False,
    })  # fmt: skip
    return environ


def collect(app: WSGIApp, environ: dict[str, Any], cap: int) -> Answer:
    """Call a WSGI application and return its whole answer; raise `AnswerTooLarge` beyond `cap` bytes."""
    started: list[Any] = []
    pieces: list[bytes] = []
    size = 0

    def keep(piece: bytes) -> None:
        nonlocal size
        size += len(piece)
        if size > cap:
            raise AnswerTooLarge
        pieces.append(piece)

    def start_response(status: str, headers: list[tuple[str, str]], exc_info: object = None) -> Callable[[bytes], None]:
        started[:] = [int(status[:3]), tuple(headers)]
        return keep

    answer = app(environ, start_response)
    try:
        for piece in answer:
            keep(piece)
    finally:
        getattr(answer, "close", lambda: None)()
    return Answer(status=started[0], headers=started[1], body=b"".join(pieces))


def _what(environ: dict[str, Any]) -> tuple[str, str]:
    # Without the query: it may carry something nobody should read in a log.
    return environ["REQUEST_METHOD"], environ["PATH_INFO"]


async def _no_body() -> Message:
    return {"type": "http.request", "body": b"", "more_body": False}


async def _ignore(message: Message) -> None:
    """Take a2wsgi's own, empty, answer: the real one came back beside it."""
