"""uvicorn's HTTP protocol with what it leaves out: a deadline for headers, one for reading answers, and caps.

uvicorn 0.54 starts its only timer after the first answer, so a socket that never speaks, or speaks one byte a minute,
stays for ever; and closing a connection waits for ever for a client that never reads. Only hooks of `HttpToolsProtocol`
and of `asyncio.Protocol` are overridden here; tests/serving checks each of them through real sockets.
"""

import asyncio
import os
import socket
import struct
from contextlib import suppress
from gettext import NullTranslations
from typing import ClassVar

from uvicorn.protocols.http.httptools_impl import STATUS_LINE, HttpToolsProtocol

from inspect_app.serving.gate import Gate
from inspect_app.serving.limits import Limits
from inspect_app.serving.refusal import Refusal
from inspect_app.serving.speech import SILENT, Tongue
from inspect_app.words import N_, speaking

# A body cut into crumbs costs a callback each: beyond this many chunks they must hold this much on average.
FREE_CHUNKS = 256
CRUMB_BYTES = 64

# struct linger: on, for no time at all (two shorts on Windows, two ints elsewhere)
RESET_ON_CLOSE = struct.pack("hh" if os.name == "nt" else "ii", 1, 0)

BAD_REQUEST = Refusal(400, "bad_request", N_("This is not a request the server understands."))
STOPPING = Refusal(503, "server_stopping", N_("The server is being stopped; send this again in a minute."))
LATE = Refusal(408, "request_incomplete", N_("The request did not arrive completely in time; send it again."))
FULL = Refusal(503, "server_busy", N_("The server has all the connections it can take; try again in a minute."))
LONG_HEAD = Refusal(431, "header_too_large", N_("The header of this request is too large; clear this site's cookies."))
CRUMBS = Refusal(400, "bad_request", N_("The body of this request is cut into too many tiny pieces."))


class GuardedProtocol(HttpToolsProtocol):
    """One connection; `guarded` makes the class with its limits and gate."""

    limits: ClassVar[Limits]
    gate: ClassVar[Gate]
    tongue: ClassVar["staticmethod[[str], NullTranslations | None]"]
    raw: asyncio.Transport  # down to the socket; under TLS another than `transport`

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Start the clock of the first header, or turn the connection away when the server is full."""
        super().connection_made(transport)
        self.raw = transport
        self.address = self.client[0] if self.client else ""
        self.moved = self.loop.time()
        self.head_since: float | None = self.moved
        self._head_bytes = self._chunks = self._body_bytes = self._last_unsent = 0
        self._why = BAD_REQUEST
        if not self.gate.enter(self):
            self.refuse(FULL)

    def connection_lost(self, exc: Exception | None) -> None:
        """Leave the gate."""
        self.gate.leave(self)
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Feed the parser; the first bytes of a further request start the clock of its header."""
        self.moved = self.loop.time()
        if self.transport.is_closing():
            return
        if self.head_since is None and self._between_requests():
            self.head_since, self._head_bytes = self.moved, 0
        in_head = self.head_since is not None
        super().data_received(data)
        if in_head and self.head_since is not None and not self.transport.is_closing():
            self._head_bytes += len(data)
            if self._head_bytes > self.limits.head_bytes:
                self.refuse(LONG_HEAD)

    def on_headers_complete(self) -> None:
        """Stop the clock of the header."""
        self.head_since = None
        self._chunks = self._body_bytes = 0
        if len(self.url) + sum(len(name) + len(value) for name, value in self.headers) > self.limits.head_bytes:
            self._stop_parser(LONG_HEAD)
        super().on_headers_complete()

    def on_chunk_header(self) -> None:
        """Count the chunks of a chunked body."""
        self._chunks += 1
        if self._chunks > FREE_CHUNKS and self._body_bytes < self._chunks * CRUMB_BYTES:
            self._stop_parser(CRUMBS)

    def on_body(self, body: bytes) -> None:
        """Count the bytes of a body."""
        self._body_bytes += len(body)
        super().on_body(body)

    def resume_writing(self) -> None:
        """Take it as a sign of life: the client has read, even if the next look finds the buffer as full as before."""
        self.moved = self.loop.time()
        super().resume_writing()

    def shutdown(self) -> None:
        """Finish what is being worked on; a client that keeps the server waiting is cut off before the time is up."""
        if not self.transport.is_closing():
            super().shutdown()
        self.loop.call_later(self.limits.stop_s * 0.7, self._turn_away_if_uploading)
        self.loop.call_later(self.limits.stop_s * 0.8, self._cut_if_waiting)

    def send_400_response(self, msg: str) -> None:
        """Answer what the parser rejects in the one JSON shape."""
        self.refuse(self._why)

    def refuse(self, refusal: Refusal) -> None:
        """Answer without the application, and close."""
        with speaking(self.tongue("")):  # nobody knows yet who asks
            self.transport.write(on_the_wire(refusal, self.server_state.default_headers))
        self.transport.close()
        if not self._between_requests():  # whoever waits for the rest of its body need not wait any longer
            self.cycle.disconnected = True
            self.cycle.message_event.set()

    def waits_for_client(self) -> bool:
        """See `gate.Door`."""
        return self._between_requests() or self.cycle.more_body or self.unsent() > 0

    def unsent(self) -> int:
        """See `gate.Door`."""
        return self.raw.get_write_buffer_size()

    def notice(self) -> None:
        """See `gate.Door`."""
        unsent = self.unsent()
        if unsent != self._last_unsent:
            self.moved, self._last_unsent = self.loop.time(), unsent

    def close_late_head(self) -> None:
        """See `gate.Door`; a socket that never spoke is closed without a word."""
        self.head_since = None
        if self._head_bytes:
            self.refuse(LATE)
        else:
            self.transport.close()

    def abort(self) -> None:
        """See `gate.Door`."""
        reset_on_close(self.raw)
        self.raw.abort()

    def _turn_away_if_uploading(self) -> None:
        uploading = not self._between_requests() and self.cycle.more_body and not self.cycle.response_started
        if uploading and self in self.gate.doors and not self.transport.is_closing():
            self.refuse(STOPPING)

    def _cut_if_waiting(self) -> None:
        if self in self.gate.doors and self.waits_for_client():
            self.abort()

    def _between_requests(self) -> bool:
        return self.cycle is None or self.cycle.response_complete

    def _stop_parser(self, why: Refusal) -> None:
        self._why = why
        raise why  # the parser reports it to data_received, which calls send_400_response


def on_the_wire(refusal: Refusal, headers: list[tuple[bytes, bytes]]) -> bytes:
    """Return a refusal as the bytes of a whole answer, after which the connection is closed."""
    answer = refusal.answer()
    lines = [*headers, *((name.encode(), value.encode()) for name, value in answer.headers)]
    lines += [(b"content-length", str(len(answer.body)).encode()), (b"connection", b"close")]
    return b"".join([STATUS_LINE[answer.status], *(b"%s: %s\r\n" % line for line in lines), b"\r\n", answer.body])


def reset_on_close(transport: asyncio.Transport) -> None:
    """Have the kernel drop what is unsent; else it would try to deliver that long after we have let go."""
    with suppress(OSError):  # closed a moment ago
        transport.get_extra_info("socket").setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, RESET_ON_CLOSE)


def guarded(limits: Limits, tongue: Tongue = SILENT) -> type[GuardedProtocol]:
    """Return a protocol class for one server, with its own gate."""
    return type("Guarded", (GuardedProtocol,), {"limits": limits, "gate": Gate(limits), "tongue": staticmethod(tongue)})
