"""Answers: right for HEAD, 204 and 304 (RFC 9110), bounded, and honest about who asked."""

import json

import pytest
from hostile import connect, never_reading, read_all


def test_a_five_megabyte_answer_arrives_whole(server):
    reply = server.ask("GET", "/bytes/5000000")

    assert (reply.status, reply.headers["content-length"], reply.body) == (200, "5000000", b"x" * 5_000_000)


@pytest.mark.parametrize("path", ["/bytes/9000000", "/endless"])
def test_an_answer_over_eight_megabytes_becomes_an_error_and_a_log_line(server, path):
    reply = server.ask("GET", path)

    assert (reply.status, reply.error()["code"]) == (500, "server_fault")
    assert f"GET '{path}' answered with more than 8388608 bytes" in server.log.read_text()


@pytest.mark.parametrize(("method", "path"), [("HEAD", "/bytes/5000"), ("GET", "/status/204"), ("GET", "/status/304")])
def test_answers_without_a_body_leave_the_connection_usable(server, method, path):
    asked = f"{method} {path} HTTP/1.1\r\nHost: here\r\n\r\nGET / HTTP/1.1\r\nHost: here\r\nConnection: close\r\n\r\n"
    with connect(server.line) as client:
        client.sendall(asked.encode())
        first, _, rest = read_all(client).partition(b"\r\n\r\n")

    assert rest.startswith(b"HTTP/1.1 200 ")
    assert (b"content-length: 5000" in first) == (method == "HEAD")
    assert (b"content-length" in first) == (method == "HEAD")  # RFC 9110, 8.6: never with 204


def test_a_view_that_fails_gives_one_sentence_and_the_server_lives_on(server):
    reply = server.ask("GET", "/fault")

    assert (reply.status, reply.error()["field"]) == (500, None)
    assert b"Traceback" not in reply.body
    assert server.ask("GET", "/").status == 200


def test_the_application_sees_the_real_address_whatever_a_header_claims(server):
    claims = {"X-Forwarded-For": "10.9.9.9", "X-Forwarded-Proto": "https", "Forwarded": "for=10.9.9.9"}

    environ = json.loads(server.ask("GET", "/environ?a=1", headers=claims).body)

    assert environ["REMOTE_ADDR"] == "127.0.0.1"
    assert (environ["wsgi.url_scheme"], environ["QUERY_STRING"]) == (server.scheme, "a=1")


def test_a_header_with_an_underscore_cannot_pose_as_one_with_a_hyphen(server):
    environ = json.loads(server.ask("GET", "/environ", headers={"X_Lampwalk": "1", "Proxy": "evil"}).body)

    assert not {"HTTP_X_LAMPWALK", "HTTP_PROXY"} & set(environ)


def test_what_is_not_http_gets_the_one_json_error(server):
    with connect(server.line) as client:
        client.sendall(b"\x16\x03\x01 this is a TLS hello\r\n\r\n")
        answer = read_all(client)

    assert answer.startswith(b"HTTP/1.1 400 ")
    assert json.loads(answer.partition(b"\r\n\r\n")[2])["error"]["code"] == "bad_request"


def test_a_client_that_leaves_in_the_middle_of_an_answer_harms_nobody(server):
    for _ in range(30):
        never_reading(server.line).close()

    assert server.ask("GET", "/bytes/5000000").body == b"x" * 5_000_000
    assert "Traceback" not in server.log.read_text().rpartition("SystemExit")[2]


def test_no_query_is_written_to_the_log(server):
    server.ask("GET", "/endless?pin=4711")
    server.ask("POST", "/sync?pin=4711", b"x" * 11_000_000)

    log = server.log.read_text()

    assert "'/sync' refused" in log
    assert "4711" not in log
