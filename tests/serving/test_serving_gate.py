"""The cap on connections: whoever keeps the server waiting longest makes room, whoever is being served stays."""

import asyncio
import time

from hostile import bare, hang_ups, read_all, silent, stalled_upload

from inspect_app.serving import Limits
from inspect_app.serving.gate import Gate


class FakeDoor:
    """A connection that needs no socket."""

    head_since = None

    def __init__(self, address, moved, waits=True):
        self.address, self.moved, self.waits, self.aborted = address, moved, waits, False

    def waits_for_client(self):
        return self.waits

    def abort(self):
        self.aborted = True


async def _newcomer_among(*doors):
    """Fill a gate; return whether a newcomer got in and who had to leave for it."""
    gate = Gate(Limits(connections=len(doors)))
    for door in doors:
        gate.enter(door)
    entered = gate.enter(FakeDoor("10.0.0.9", 99))
    return entered, [door for door in doors if door.aborted]


def test_the_address_with_the_most_connections_makes_room_first():
    lone = FakeDoor("10.0.0.1", moved=1)
    many = [FakeDoor("10.0.0.2", moved=moved) for moved in (7, 5, 6)]

    assert asyncio.run(_newcomer_among(lone, *many)) == (True, [many[1]])


def test_a_request_being_worked_on_is_never_dropped_for_a_newcomer():
    working = [FakeDoor("10.0.0.2", moved=1, waits=False) for _ in range(3)]

    assert asyncio.run(_newcomer_among(*working)) == (False, [])


def test_a_newcomer_is_served_when_silent_sockets_fill_the_server(start):
    server = start(connections=20)
    crowd = [silent(server.line) for _ in range(40)]

    replies = [server.ask("GET", "/") for _ in range(20)]

    assert {reply.status for reply in replies} == {200}
    assert hang_ups(crowd[:20], end=time.monotonic() + 10) == 20
    for client in crowd:
        client.close()


def test_a_newcomer_is_served_when_stalled_uploads_fill_the_server(start):
    server = start(connections=20)
    crowd = [stalled_upload(server.line) for _ in range(20)]

    assert server.ask("GET", "/").body == b"hello"
    for client in crowd:
        client.close()


def test_a_newcomer_is_told_to_come_back_when_everybody_is_being_served(start, in_background, eventually):
    server = start(connections=3, threads=4)
    waiting = [in_background(server.ask, "GET", "/slow") for _ in range(3)]
    assert eventually(lambda: server.at_work() == 3)
    with bare(server.line) as newcomer:  # over TLS there is no word to be had before a handshake, which would cost more
        answer = read_all(newcomer)
    (server.data_dir / "go").touch()

    assert answer.startswith(b"HTTP/1.1 503 " if server.scheme == "http" else b"")
    assert (answer == b"") == (server.scheme == "https")
    assert [wait().body for wait in waiting] == [b"finished"] * 3
