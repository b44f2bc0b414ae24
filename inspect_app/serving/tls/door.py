"""TLS around the guarded protocol, so that the gate knows a connection from its first moment.

asyncio's own way (`create_server(ssl=…)`) tells nobody of a connection until its handshake is done: sockets that never
begin one would be counted by no cap, for a minute each. So the layer is made here, from asyncio's own class, and only
what a transport calls (`asyncio.BufferedProtocol`) is overridden. tests/serving checks each through real sockets.
"""

import asyncio
from asyncio.sslproto import SSLProtocol
from typing import Any, ClassVar, cast

from inspect_app.serving.gate import Gate
from inspect_app.serving.limits import KB, Limits
from inspect_app.serving.protocol import GuardedProtocol, on_the_wire, reset_on_close
from inspect_app.serving.refusal import Refusal
from inspect_app.serving.speech import SILENT, Tongue
from inspect_app.serving.tls.context import Credentials
from inspect_app.words import N_, speaking

# asyncio would take 256 kB for each connection at once, and let half a megabyte wait for a slow reader twice over.
READ_BYTES = 64 * KB
WAIT_BYTES = 64 * KB

SPEAK_TLS = Refusal(400, "https_only", N_("This address speaks https; put https:// before it."))


class SecuredProtocol(GuardedProtocol):
    """The guarded protocol behind a handshake that has succeeded."""

    entrance: "TlsDoor"

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take the place in the gate that the handshake held."""
        transport.set_write_buffer_limits(high=WAIT_BYTES)
        self.entrance.leave()
        super().connection_made(transport)
        self.raw = self.entrance.raw

    def unsent(self) -> int:
        """See `gate.Door`: what waits before encryption, after it, and for the socket."""
        return self.entrance.unsent()

    def notice(self) -> None:
        """See `gate.Door`; once all is sent, hang up without waiting for the client to say goodbye as well."""
        super().notice()
        if self.transport.is_closing() and not self.unsent():
            self.raw.close()


class TlsDoor(SSLProtocol):
    """One connection of which nothing is known yet; `secured` makes the class with its limits, gate and certificate."""

    limits: ClassVar[Limits]
    gate: ClassVar[Gate]
    credentials: ClassVar[Credentials]
    inside: ClassVar[type[SecuredProtocol]]
    max_size = READ_BYTES

    def __init__(self, config: Any, server_state: Any, app_state: Any, _loop: Any = None) -> None:
        self.loop = _loop or asyncio.get_running_loop()
        self._state_of_server = server_state
        self.application = self.inside(config, server_state, app_state, self.loop)
        self.application.entrance = self
        super().__init__(
            self.loop, self.application, self.credentials.context, cast(Any, None), server_side=True,
            ssl_handshake_timeout=cast(int, self.limits.head_s),
            ssl_shutdown_timeout=cast(int, self.limits.write_idle_s),
        )  # fmt: skip

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Start the clock of the handshake, or turn the connection away when the server is full."""
        self.raw = transport
        peer = transport.get_extra_info("peername")
        self.address: str = peer[0] if peer else ""
        self.moved: float = self.loop.time()
        self.head_since: float | None = self.moved
        self._silent = True
        if not self.gate.enter(self):
            transport.abort()
            return
        self._state_of_server.connections.add(self)
        super().connection_made(transport)

    def connection_lost(self, exc: BaseException | None) -> None:
        """Leave the gate, if the handshake never came to its end."""
        self.leave()
        super().connection_lost(exc)

    def buffer_updated(self, nbytes: int) -> None:
        """Take bytes in; a request that begins in plain http is told so."""
        first = bytes(self.get_buffer(1)[:1]) if self._silent else b""
        self.moved, self._silent = self.loop.time(), False
        if first.isalpha() and first.isupper():
            with speaking(self.inside.tongue("")):
                self.raw.write(on_the_wire(SPEAK_TLS, self._state_of_server.default_headers))
            self.raw.close()
            return
        super().buffer_updated(nbytes)

    def leave(self) -> None:
        """Give up the place in the gate."""
        self.gate.leave(self)
        self._state_of_server.connections.discard(self)

    def shutdown(self) -> None:
        """Hang up at the stop of the server; nothing has been asked yet."""
        self.raw.abort()

    def waits_for_client(self) -> bool:
        """See `gate.Door`."""
        return True

    def unsent(self) -> int:
        """See `gate.Door`."""
        return self.raw.get_write_buffer_size() + self._get_write_buffer_size()  # type: ignore[attr-defined,no-any-return]

    def notice(self) -> None:
        """See `gate.Door`; a handshake is judged by its clock alone."""

    def close_late_head(self) -> None:
        """See `gate.Door`."""
        self.abort()

    def abort(self) -> None:
        """See `gate.Door`."""
        reset_on_close(self.raw)
        self.raw.abort()


def secured(limits: Limits, credentials: Credentials, tongue: Tongue = SILENT) -> type[TlsDoor]:
    """Return a class for the connections of one server, with its own gate."""
    gate = Gate(limits)
    inside = type("Secured", (SecuredProtocol,), {"limits": limits, "gate": gate, "tongue": staticmethod(tongue)})
    return type("Door", (TlsDoor,), {"limits": limits, "gate": gate, "credentials": credentials, "inside": inside})
