"""Clients as they are on shop-floor Wi-Fi: half a request and then nothing. On 127.0.0.1 only."""

import socket
import time


def free_port() -> int:
    """Return a port nobody listens on."""
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return probe.getsockname()[1]


def connect(port: int, window: int = 0) -> socket.socket:
    """Return a connected socket; a window of few bytes makes the server feel at once that nobody reads."""
    client = socket.socket()
    if window:
        client.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, window)
    client.settimeout(30)
    client.connect(("127.0.0.1", port))
    return client


def silent(port: int) -> socket.socket:
    """Connect and say nothing."""
    return connect(port)


def stalled_upload(port: int, path: str = "/photos/one", promised: int = 1_000_000) -> socket.socket:
    """Begin an upload and stop after a thousand bytes."""
    client = connect(port)
    head = f"PUT {path} HTTP/1.1\r\nHost: here\r\nContent-Length: {promised}\r\n\r\n"
    client.sendall(head.encode() + b"x" * 1000)
    return client


def never_reading(port: int, path: str = "/bytes/5000000", window: int = 4096) -> socket.socket:
    """Ask for something large and never read it."""
    client = connect(port, window)
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
