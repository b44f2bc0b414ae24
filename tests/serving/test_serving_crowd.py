"""A shop floor's worth of clients that went silent must not hold up anyone who is still there."""

import hashlib
import os
import time
from contextlib import ExitStack
from itertools import chain

import pytest
from hostile import bare, half_a_hello, hang_ups, never_reading, read_all, silent, stalled_upload

DEADLINES = {"head_s": 3, "body_idle_s": 3, "write_idle_s": 3}


@pytest.fixture
def crowd():
    """Open the clients that stall; close them at the end."""
    with ExitStack() as stack:

        def gather(line):
            kinds = {
                "stalled": [stalled_upload(line) for _ in range(60)],
                "silent": [silent(line) for _ in range(20)],
                "never reading": [never_reading(line) for _ in range(20)],
            }
            if line.context is not None:
                kinds["no hello"] = [bare(line) for _ in range(20)]
                kinds["half a hello"] = [half_a_hello(line) for _ in range(20)]
            for client in chain(*kinds.values()):
                stack.callback(client.close)
            return kinds

        yield gather


def test_fifty_ordinary_requests_are_answered_amid_a_hundred_stalled_clients(start, crowd):
    server = start()  # the usual deadlines: while this test runs nobody is thrown out
    kinds = crowd(server.line)

    replies = [server.ask("GET", "/", timeout=10) for _ in range(50)]

    assert [reply.body for reply in replies] == [b"hello"] * 50
    assert hang_ups([*chain(*kinds.values())], end=time.monotonic()) == 0  # so they really were there all along


def test_ordinary_uploads_are_taken_amid_a_hundred_stalled_clients(start, crowd):
    server = start()
    crowd(server.line)
    photo = os.urandom(3_000_000)

    replies = [server.ask("PUT", "/photos/mine", photo, timeout=10) for _ in range(5)]

    assert {reply.status for reply in replies} == {200}
    assert all(hashlib.sha256(photo).hexdigest().encode() in reply.body for reply in replies)


def test_stalled_clients_of_every_kind_are_hung_up_on_in_the_end(start, crowd):
    kinds = crowd(start(**DEADLINES).line)

    end = time.monotonic() + 60

    assert {kind: hang_ups(clients, end) for kind, clients in kinds.items()} == {
        kind: len(clients) for kind, clients in kinds.items()
    }


def test_a_stalled_upload_is_told_so_before_the_line_goes_dead(start):
    with stalled_upload(start(**DEADLINES).line) as client:
        answer = read_all(client)

    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b'"code": "upload_stalled"' in answer


def test_half_a_header_is_told_so_before_the_line_goes_dead(start):
    with silent(start(**DEADLINES).line) as client:
        client.sendall(b"GET / HTTP/1.1\r\nHost: he")
        answer = read_all(client)

    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b'"code": "request_incomplete"' in answer


def test_the_header_of_a_second_request_has_a_deadline_too(start):
    with silent(start(**DEADLINES).line) as client:
        client.sendall(b"GET / HTTP/1.1\r\nHost: here\r\n\r\n")
        assert client.recv(65536).startswith(b"HTTP/1.1 200 ")
        client.sendall(b"GET / HT")

        assert b" 408 " in read_all(client)


def test_an_upload_that_drips_for_ever_ends_at_the_total_deadline(start):
    with stalled_upload(start(body_idle_s=30, body_total_s=2).line) as client:
        client.settimeout(0.2)
        answer = b""
        end = time.monotonic() + 60
        while not answer and time.monotonic() < end:
            client.send(b"x")
            try:
                answer = client.recv(65536)
            except TimeoutError:
                continue

    assert answer.startswith(b"HTTP/1.1 408 ")


def test_someone_who_reads_slowly_gets_the_whole_answer_although_it_takes_longer_than_the_idle_deadline(start):
    with never_reading(start(write_idle_s=1).line, "/bytes/5000000", window=65_536) as client:
        received = sips = 0
        while sip := client.recv(30_000 if received < 5_000_000 else 1):
            received, sips = received + len(sip), sips + 1
            if received > 5_000_000:
                break
            time.sleep(0.05)

    assert received > 5_000_000
    assert sips > 80  # a twentieth of a second each: four times the deadline
