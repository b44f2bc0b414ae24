"""Clients as they are on shop-floor Wi-Fi: half a request and then nothing. On 127.0.0.1 only."""

import socket
import ssl
import time
from contextlib import suppress
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Line:
    """The way to a server: its port, and what to trust when it speaks TLS."""

    port: int
    context: ssl.SSLContext | None = None


def free_port() -> int:
    """Return a port nobody listens on."""
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return probe.getsockname()[1]


def bare(line: Line | int, window: int = 0) -> socket.socket:
    """Return a connected socket, without TLS; a window of few bytes makes the server feel at once that nobody reads."""
    client = socket.socket()
    if window:
        client.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, window)
    client.settimeout(30)
    client.connect(("127.0.0.1", line if isinstance(line, int) else line.port))
    return client


def connect(line: Line | int, window: int = 0) -> socket.socket:
    """Return a connected socket, its handshake done where there is one; a number is the port of a plain server."""
    client = bare(line, window)
    if isinstance(line, int) or line.context is None:
        return client
    return line.context.wrap_socket(client, server_hostname="localhost")


def silent(line: Line | int) -> socket.socket:
    """Connect and say nothing."""
    return connect(line)


def half_a_hello(line: Line) -> socket.socket:
    """Begin a TLS handshake and stop in the middle of its first message."""
    hello = ssl.MemoryBIO()
    tls = line.context.wrap_bio(ssl.MemoryBIO(), hello, server_hostname="localhost")
    with suppress(ssl.SSLWantReadError):
        tls.do_handshake()
    client = bare(line)
    client.sendall(hello.read()[:100])
    return client


def stalled_upload(line: Line | int, path: str = "/photos/one", promised: int = 1_000_000) -> socket.socket:
    """Begin an upload and stop after a thousand bytes."""
    client = connect(line)
    head = f"PUT {path} HTTP/1.1\r\nHost: here\r\nContent-Length: {promised}\r\n\r\n"
    client.sendall(head.encode() + b"x" * 1000)
    return client


def never_reading(line: Line | int, path: str = "/bytes/5000000", window: int = 4096) -> socket.socket:
    """Ask for something large and never read it."""
    client = connect(line, window)
    client.sendall(f"GET {path} HTTP/1.1\r\nHost: here\r\n\r\n".encode())
    return client


def hang_ups(sockets: list[socket.socket], end: float) -> int:
    """Return how many sockets the server has closed by the monotonic time `end`, without reading from them.

    Reading would make a client that never reads into one that does, so the kernel is asked for the connection's state.
    """
    open_ones = set(sockets)
    while open_ones and time.monotonic() < end:
        open_ones = {one for one in open_ones if not _closed(one)}
        time.sleep(0.1)
    return len(sockets) - len(open_ones)


def _closed(client: socket.socket) -> bool:
    # First byte of Linux's struct tcp_info: the state; 1 is ESTABLISHED (include/net/tcp_states.h).
    return client.getsockopt(socket.IPPROTO_TCP, socket.TCP_INFO, 1)[0] != 1


def read_all(client: socket.socket) -> bytes:
    """Return everything up to the server's hang-up; a reset counts as one."""
    pieces = []
    try:
        while piece := client.recv(65536):
            pieces.append(piece)
    except ConnectionError:
        pass
    return b"".join(pieces)
