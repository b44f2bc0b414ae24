"""Request bodies: whole or not at all. Statuses and framing after RFC 9110 and RFC 9112."""

import hashlib
import os
import ssl
from contextlib import suppress

import pytest
from hostile import connect, read_all, stalled_upload

MB = 1024 * 1024


@pytest.mark.parametrize("size", [0, 1, 65_536, MB, MB + 1, 9 * MB])
def test_a_body_arrives_intact_in_memory_or_on_disk(server, size):
    body = os.urandom(size)

    reply = server.ask("POST", "/sync", body)

    assert hashlib.sha256(body).hexdigest().encode() in reply.body


def test_a_chunked_body_arrives_intact(server):
    pieces = [os.urandom(100_000) for _ in range(30)]

    reply = server.ask("PUT", "/photos/one", iter(pieces))

    assert hashlib.sha256(b"".join(pieces)).hexdigest().encode() in reply.body


def test_a_form_is_read_from_the_buffered_body(server):
    reply = server.ask("POST", "/form", b"name=%C5%81ukasz", {"Content-Type": "application/x-www-form-urlencoded"})

    assert reply.body.decode("unicode_escape").strip() == '{"name":"Łukasz"}'


@pytest.mark.parametrize(
    ("path", "content_type", "cap"),
    [
        ("/photos/one", "image/jpeg", 40 * MB),
        ("/sync", "application/json", 10 * MB),
        ("/digest", "application/json; charset=utf-8", 10 * MB),
        ("/digest", "text/csv", 5 * MB),
    ],
)
def test_a_body_over_the_cap_of_its_class_is_refused_and_one_of_just_the_cap_is_taken(server, path, content_type, cap):
    method = "PUT" if path.startswith("/photos") else "POST"

    over = server.ask(method, path, b"x" * (cap + 1), {"Content-Type": content_type})
    just = server.ask(method, path, b"x" * cap, {"Content-Type": content_type})

    assert (over.status, over.error()["code"], just.status) == (413, "too_large", 200)


def test_a_two_hundred_megabyte_photo_is_refused_with_a_sentence_before_it_is_sent(server):
    with stalled_upload(server.line, promised=200 * MB) as client:
        answer = client.recv(65536)

    assert answer.startswith(b"HTTP/1.1 413 ")


def test_a_chunked_body_that_never_says_its_size_is_refused_at_the_cap(server):
    reply = server.ask("POST", "/sync", (b"x" * MB for _ in range(11)))

    assert (reply.status, reply.error()["code"]) == (413, "too_large")


def test_a_chunked_body_cut_into_crumbs_is_refused(server):
    with connect(server.line) as client:
        client.sendall(b"POST /sync HTTP/1.1\r\nHost: here\r\nTransfer-Encoding: chunked\r\n\r\n" + b"1\r\nx\r\n" * 300)
        answer = read_all(client)

    assert answer.startswith(b"HTTP/1.1 400 ")
    assert b"too many tiny pieces" in answer


@pytest.mark.parametrize(
    "header",
    [
        b"Content-Length: 5\r\nTransfer-Encoding: chunked",  # RFC 9112, 6.3: may be an attempt at request smuggling
        b"Content-Length: 5\r\nContent-Length: 6",
        b"Content-Length: -5",
        b"Transfer-Encoding: chunked, identity",
    ],
)
def test_a_request_whose_length_can_be_read_two_ways_is_refused(server, header):
    with connect(server.line) as client:
        client.sendall(b"POST /sync HTTP/1.1\r\nHost: here\r\n" + header + b"\r\n\r\n0\r\n\r\n")
        answer = read_all(client)

    assert answer.startswith(b"HTTP/1.1 400 ")
    assert b'"error"' in answer


@pytest.mark.parametrize("head", [
    b"X-Long: " + b"x" * 200_000, b"X-Long: " + b"x" * 40_000 + b"\r\n\r\n", b"X-Many: x\r\n" * 20_000,
])  # fmt: skip
def test_a_header_larger_than_any_honest_one_is_refused(server, head):
    with connect(server.line) as client:
        with suppress(ssl.SSLEOFError, ConnectionError):  # it may have answered and gone before all is sent
            client.sendall(b"GET / HTTP/1.1\r\n" + head)
        answer = read_all(client)

    assert answer.startswith(b"HTTP/1.1 431 ")


def test_more_uploads_than_the_disk_should_hold_are_refused(start, eventually):
    server = start(all_bodies_bytes=2 * MB)
    with stalled_upload(server.line) as one:
        one.sendall(b"x" * 900_000)

        assert eventually(lambda: server.ask("PUT", "/photos/two", b"x" * 2 * MB).status == 503)
    assert eventually(lambda: server.ask("PUT", "/photos/two", b"x" * 2 * MB).status == 200)


def test_a_client_that_hangs_up_half_way_leaves_nothing_behind(start, eventually):
    server = start(all_bodies_bytes=2 * MB)
    for _ in range(10):  # ten times 900 kB would fill what the server may hold, if any of it were kept
        with stalled_upload(server.line) as client:
            client.sendall(b"x" * 900_000)

    assert eventually(lambda: server.ask("PUT", "/photos/mine", b"x" * 2 * MB).status == 200)
