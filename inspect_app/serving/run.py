"""Start the server, say where it listens, and stop it without losing a request."""

import asyncio
import inspect
import logging
import os
import signal
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import uvicorn

from inspect_app.serving.leaflet import Leaflet, hand_out_config
from inspect_app.serving.limits import Limits
from inspect_app.serving.protocol import guarded
from inspect_app.serving.shell import Hook, Shell, wrap
from inspect_app.serving.speech import SILENT, Tongue

if TYPE_CHECKING:
    from inspect_app.serving.tls.context import Credentials

log = logging.getLogger("lampwalk.serving")
SEND_BUFFER_BYTES = 128 * 1024  # Linux doubles it: 256 kB in flight fill a 100 Mbit/s line up to 20 ms away
STOP_SIGNALS = (signal.SIGINT, signal.SIGTERM)


class CannotListenError(Exception):
    """The address or port cannot be had; the text is one sentence for a person."""


class _Server(uvicorn.Server):
    """uvicorn, telling when it is ready, and handing out a leaflet on a second port."""

    def __init__(
        self,
        config: uvicorn.Config,
        ready: Callable[[int], object] | None,
        leaflet: tuple[Leaflet, socket.socket] | None = None,
    ) -> None:
        super().__init__(config)
        self._ready = ready
        self._leaflet = leaflet

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if not sockets:
            return
        port = sockets[0].getsockname()[1]
        if self._leaflet is not None:
            await self._hand_out(port, *self._leaflet)
        if self._ready is not None:
            self._ready(port)

    async def _hand_out(self, port: int, leaflet: Leaflet, listener: socket.socket) -> None:
        # Its connections are in the same books, so that the stop closes them with the others.
        config = hand_out_config(leaflet.make(port, listener.getsockname()[1]))
        made: Any = config.http_protocol_class
        connection = partial(made, config=config, server_state=self.server_state, app_state={})
        self.servers.append(await asyncio.get_running_loop().create_server(connection, sock=listener))


def serve(
    app: Callable[..., Any],
    host: str,
    port: int,
    *,
    data_dir: Path | str,
    on_start: Hook | None = None,
    on_stop: Hook | None = None,
    ready: Callable[[int], object] | None = None,
    limits: Limits | None = None,
    tls: "Credentials | None" = None,
    leaflet: Leaflet | None = None,
    tongue: Tongue = SILENT,
) -> int:
    """Serve a WSGI application, or what a factory without arguments makes, until SIGINT or SIGTERM.

    The port is taken before the factory is called; port 0 takes any free one. With `tls` it speaks https, with
    `leaflet` its pages are handed out by plain http on a port of theirs. `tongue` tells from a Cookie header in which
    language the server itself answers. `ready(port)` is called once requests are answered. On a stop signal running
    requests get `limits.stop_s` seconds to finish, then `on_stop` runs. Returns the exit code: 0, or 1 with one
    sentence on stderr when a port cannot be had. What the factory or `on_start` raises is raised here.
    """
    limits = limits or Limits()
    with ExitStack() as stack:
        try:
            listener = stack.enter_context(listen(host, port))
            handed = (leaflet, stack.enter_context(listen(host, leaflet.port))) if leaflet else None
        except CannotListenError as problem:
            print(problem, file=sys.stderr)
            return 1
        shell = wrap(
            _application(app), limits=limits, data_dir=data_dir, on_start=on_start, on_stop=on_stop, tongue=tongue
        )
        with _own_signals():
            _run(_Server(_config(shell, limits, tls), ready, handed), listener, shell)
    if shell.busy:
        # Such a thread cannot be ended from outside, and the interpreter would wait for it for ever.
        log.error("%d requests did not finish within %d s of the stop signal", shell.busy, limits.stop_s)
        logging.shutdown()
        os._exit(3)
    return 0


@contextmanager
def running(
    app: Callable[..., Any],
    *,
    data_dir: Path | str,
    limits: Limits | None = None,
    tls: "Credentials | None" = None,
    tongue: Tongue = SILENT,
) -> Iterator[str]:
    """Serve on a free port of this machine from a thread, for tests; yield the address without a trailing slash.

    With `tls` the address is `https://localhost:<port>`.
    """
    limits = limits or Limits()
    up = threading.Event()
    with listen("127.0.0.1", 0) as listener:
        shell = wrap(_application(app), limits=limits, data_dir=data_dir, tongue=tongue)
        server = _Server(_config(shell, limits, tls), lambda _port: up.set())
        thread = threading.Thread(target=_run, args=(server, listener, shell), daemon=True)
        thread.start()
        try:
            if not up.wait(30):
                raise RuntimeError("the server did not start")
            yield f"{'https://localhost' if tls else 'http://127.0.0.1'}:{listener.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join(limits.stop_s + 5)


def listen(host: str, port: int) -> socket.socket:
    """Return a listening socket; raise `CannotListenError` with a sentence."""
    if not 0 <= port <= 65535:
        raise CannotListenError(f"'port' must be 0 to 65535 (got {port}); choose another.")
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        listener = socket.create_server((host, port), family=family, backlog=1024)
    except PermissionError:
        raise CannotListenError(f"This account may not use port {port}; choose one of 1024 or more.") from None
    except OSError as fault:
        raise CannotListenError(_why_not(host, port, fault)) from None
    # asyncio does this only for sockets made with an explicit protocol. Connections inherit it; without it the second
    # half of each small answer waits 40 ms for the client's delayed acknowledgement.
    listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    # The kernel asks for more only when a third of its buffer is free. Left to grow to megabytes, a slow reader would
    # seem dead for minutes; and 400 of them would hold a gigabyte.
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BUFFER_BYTES)
    return listener


def _why_not(host: str, port: int, fault: OSError) -> str:
    if isinstance(fault, socket.gaierror):
        return f"There is no address '{host}'; use 127.0.0.1, or this computer's own address in the network."
    text = f"Port {port} on {host} cannot be used ({os.strerror(fault.errno or 0)})"
    return f"{text}; stop the program that has it, or choose another port."


def _application(app: Callable[..., Any]) -> Callable[..., Any]:
    try:
        inspect.signature(app).bind("environ", "start_response")
    except TypeError:
        return app()  # type: ignore[no-any-return]
    return app


def _config(shell: Shell, limits: Limits, tls: "Credentials | None") -> uvicorn.Config:
    return uvicorn.Config(
        shell, ws="none", loop="asyncio", interface="asgi3", lifespan="on",
        # Addresses in the log, paths and queries not; and nobody's X-Forwarded-For is believed.
        log_config=None, log_level="warning", access_log=False, proxy_headers=False, server_header=False,
        timeout_keep_alive=limits.keep_alive_s, timeout_graceful_shutdown=limits.stop_s,
        timeout_notify=limits.certificate_s, **_connections(shell, limits, tls),
    )  # fmt: skip


def _connections(shell: Shell, limits: Limits, tls: "Credentials | None") -> dict[str, Any]:
    if tls is None:
        return {"http": guarded(limits, shell.tongue)}
    from inspect_app.serving.tls.context import look_after
    from inspect_app.serving.tls.door import secured

    # uvicorn is not told of TLS: it sees plain connections whose class speaks it.
    return {"http": secured(limits, tls, shell.tongue), "callback_notify": partial(look_after, tls)}


def _run(server: uvicorn.Server, listener: socket.socket, shell: Shell) -> None:
    try:
        server.run(sockets=[listener])
    except SystemExit:
        if shell.start_fault is None:
            raise
        raise shell.start_fault from None
    finally:
        if server.started:
            shell.stop()


@contextmanager
def _own_signals() -> Iterator[None]:
    # uvicorn raises a stop signal once more when it has stopped, which would end the process before we are done.
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = {number: signal.signal(number, lambda *_: None) for number in STOP_SIGNALS}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
