"""The ASGI application around the Flask one: body in, thread, answer out, one after the other."""

import asyncio
import contextlib
import logging
from collections.abc import Callable
from pathlib import Path

from inspect_app.serving.bridge import Bridge, WSGIApp
from inspect_app.serving.files import send_file
from inspect_app.serving.intake import Intake, head
from inspect_app.serving.limits import Limits
from inspect_app.serving.outlet import FILE_HEADER, send_answer, send_refusal
from inspect_app.serving.refusal import Answer, Gone, Receive, Refusal, Scope, Send, broken, failure
from inspect_app.serving.speech import SILENT, Tongue
from inspect_app.words import N_, speaking
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.serving")
Hook = Callable[[], object]
_FREELY = contextlib.nullcontext()


def wrap(
    wsgi_app: WSGIApp,
    *,
    limits: Limits | None = None,
    data_dir: Path | str | None = None,
    on_start: Hook | None = None,
    on_stop: Hook | None = None,
    tongue: Tongue = SILENT,
) -> "Shell":
    """Wrap a WSGI application so that no slow client can hold one of its threads.

    `data_dir` is the folder whose files the application may hand over by `X-Lampwalk-File`; without it none. `on_start`
    runs before the first request, `on_stop` once after the last. `tongue` tells from a Cookie header in which language
    the shell itself answers. Returns an ASGI 3 application (HTTP and lifespan).
    """
    folder = Path(data_dir) if data_dir is not None else None
    return Shell(wsgi_app, limits or Limits(), folder, on_start, on_stop, tongue)


class Shell:
    """An ASGI 3 application; made by `wrap`."""

    def __init__(
        self,
        wsgi_app: WSGIApp,
        limits: Limits,
        data_dir: Path | None,
        on_start: Hook | None,
        on_stop: Hook | None,
        tongue: Tongue,
    ) -> None:
        self.limits = limits
        self.start_fault: Exception | None = None
        self._data_dir = data_dir
        self._intake = Intake(limits)
        self._bridge = Bridge(wsgi_app, limits)
        self._photos = asyncio.Semaphore(limits.photo_threads)
        self._on_start = on_start
        self.tongue = tongue
        self._on_stop = on_stop

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one ASGI scope."""
        if scope["type"] == "http":
            with speaking(self.tongue(head(scope, b"cookie"))):
                await self._serve(scope, receive, send)
        elif scope["type"] == "lifespan":
            await self._live(receive, send)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1000})

    @property
    def busy(self) -> int:
        """How many threads are at work on a request."""
        return self._bridge.busy

    def stop(self) -> None:
        """Take no more requests and run `on_stop`, if that has not been done yet."""
        self._bridge.close()
        hook, self._on_stop = self._on_stop, None
        if hook is not None:
            hook()

    async def _serve(self, scope: Scope, receive: Receive, send: Send) -> None:
        try:
            answer = await self._answer(scope, receive)
        except Gone:
            return
        except asyncio.CancelledError:  # only the end of the time for stopping does this
            answer = failure(503, "server_stopping", _("The server is being stopped; send this again in a minute."))
        except Refusal as refusal:
            log.warning("%s %r refused: %s", scope["method"], scope["path"], refusal)
            await send_refusal(scope, receive, send, refusal.answer(), self.limits)
            return
        if answer.status != 200 or answer.header(FILE_HEADER) is None:
            await send_answer(scope, send, answer, self.limits)
        elif self._data_dir is None:
            log.error("%r hands over a file, but the shell was given no data folder", scope["path"])
            await send_answer(scope, send, broken(), self.limits)
        else:
            await send_file(scope, receive, send, answer, self._data_dir, self.limits)

    async def _answer(self, scope: Scope, receive: Receive) -> Answer:
        try:
            parcel = await self._intake.take(scope, receive)
        except OSError:
            log.exception("the body of %r could not be stored", scope["path"])
            text = N_("The server could not store this upload; send it again later.")
            raise Refusal(503, "server_busy", text) from None
        try:
            async with self._photos if parcel.size and scope["path"].startswith(self.limits.photo_paths) else _FREELY:
                return await self._bridge.run(scope, parcel)
        except Exception:
            log.exception("%s %r could not be run", scope["method"], scope["path"])
            return broken()
        finally:
            self._intake.release(parcel)

    async def _live(self, receive: Receive, send: Send) -> None:
        while True:
            message = await receive()
            if message["type"] == "lifespan.startup":
                await send({"type": f"lifespan.startup.{'complete' if self._started() else 'failed'}"})
            elif message["type"] == "lifespan.shutdown":
                await asyncio.to_thread(self.stop)
                await send({"type": "lifespan.shutdown.complete"})
                return

    def _started(self) -> bool:
        try:
            if self._on_start is not None:
                self._on_start()
        except Exception as fault:
            self.start_fault = fault
        return self.start_fault is None
