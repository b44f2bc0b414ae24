"""Under TLS: renewal while serving, what is not TLS, handshakes that never end, and the memory a connection costs."""

import http.client
import json
import socket
import ssl
import sys
import time
from datetime import UTC, datetime, timedelta
from itertools import chain

import pytest
from hostile import bare, connect, half_a_hello, hang_ups, read_all, silent

from inspect_app.serving import Limits, running
from inspect_app.serving.tls import LocalCertificate, names_for


@pytest.fixture
def scheme():
    """What is tried here needs TLS."""
    return "https"


def hello(environ, start_response):
    start_response("200 OK", [("Content-Length", "5")])
    return [b"hello"]


def test_the_certificate_is_renewed_while_serving_and_open_connections_stay(tmp_path, eventually):
    clock = [datetime.now(UTC) - timedelta(days=380)]
    certificate = LocalCertificate(tmp_path, names_for("127.0.0.1"), clock=lambda: clock[0])
    lenient = ssl.create_default_context(cafile=tmp_path / "authority.pem")
    lenient.verify_flags |= 0x200000  # X509_V_FLAG_NO_CHECK_TIME (openssl/x509_vfy.h): its clock is not ours

    def serial(address):
        plain = socket.create_connection(("127.0.0.1", int(address.rpartition(":")[2])))
        with lenient.wrap_socket(plain, server_hostname="localhost") as client:
            return client.getpeercert()["serialNumber"]

    with running(hello, data_dir=tmp_path, limits=Limits(certificate_s=0), tls=certificate) as address:
        first = serial(address)
        kept = http.client.HTTPSConnection("localhost", int(address.rpartition(":")[2]), context=lenient)
        kept.request("GET", "/")
        assert kept.getresponse().read() == b"hello"
        clock[0] += timedelta(days=370)

        assert eventually(lambda: serial(address) != first)
        kept.request("GET", "/")
        assert kept.getresponse().read() == b"hello"
        assert kept.sock is not None
        kept.close()
    assert certificate.until > clock[0] + timedelta(days=390)


def test_a_fault_while_renewing_is_a_line_in_the_log_and_the_old_one_stays(tmp_path, eventually, caplog):
    class Broken:
        context = LocalCertificate(tmp_path, names_for("127.0.0.1")).context

        def look(self):
            raise RuntimeError("the disk is full")

    trusting = ssl.create_default_context(cafile=tmp_path / "authority.pem")
    with running(hello, data_dir=tmp_path, limits=Limits(certificate_s=0), tls=Broken()) as address:
        assert eventually(lambda: "the one in use stays" in caplog.text)
        client = http.client.HTTPSConnection("localhost", int(address.rpartition(":")[2]), context=trusting)
        client.request("GET", "/")
        assert client.getresponse().read() == b"hello"
        client.close()


@pytest.mark.parametrize("version", [ssl.TLSVersion.TLSv1_2, ssl.TLSVersion.TLSv1_3])
def test_tls_from_1_2_on_is_spoken(start, version):
    server = start()
    server.line.context.minimum_version = server.line.context.maximum_version = version

    assert server.ask("GET", "/").body == b"hello"


def test_a_client_that_trusts_other_authorities_does_not_connect(start):
    server = start()
    with bare(server.line) as plain, pytest.raises(ssl.SSLCertVerificationError):
        ssl.create_default_context().wrap_socket(plain, server_hostname="localhost")


def test_plain_http_is_told_to_put_https_before_the_address(start):
    with bare(start().line) as client:
        client.sendall(b"GET / HTTP/1.1\r\nHost: here\r\n\r\n")
        answer = read_all(client)

    assert answer.startswith(b"HTTP/1.1 400 ")
    assert json.loads(answer.partition(b"\r\n\r\n")[2])["error"]["message"] == (
        "This address speaks https; put https:// before it."
    )


@pytest.mark.parametrize("nonsense", [b"\x00" * 50, b"\x16\x03\x01\xff\xff" + b"x" * 1000, b"{}"])
def test_what_is_neither_is_hung_up_on_without_a_line_in_the_log(start, nonsense):
    server = start()
    with bare(server.line) as client:
        client.sendall(nonsense)
        client.shutdown(socket.SHUT_WR)
        read_all(client)

    assert server.ask("GET", "/").body == b"hello"
    assert server.log.read_text() == ""


def test_no_answer_binds_a_browser_to_https_for_ever(start):
    server = start()

    assert "strict-transport-security" not in {name.lower() for name in server.ask("GET", "/").headers}


def test_sockets_that_never_say_hello_count_against_the_cap_and_make_room(start):
    server = start(connections=20)
    crowd = [bare(server.line) for _ in range(20)] + [half_a_hello(server.line) for _ in range(20)]

    assert {server.ask("GET", "/").status for _ in range(20)} == {200}
    assert hang_ups(crowd[:20], end=time.monotonic() + 10) == 20
    for client in crowd:
        client.close()


def test_a_handshake_that_drips_for_ever_ends_at_the_deadline(start):
    with half_a_hello(start(head_s=2).line) as client:
        client.settimeout(0.2)
        gone = False
        end = time.monotonic() + 60
        while not gone and time.monotonic() < end:
            try:
                client.send(b"x" if hang_ups([client], 0) == 0 else b"")
                gone = client.recv(1) == b""
            except TimeoutError:
                continue
            except ConnectionError:
                gone = True

    assert gone


def test_the_stop_does_not_wait_for_handshakes_or_for_goodbyes(start):
    server = start(stop_s=600)  # were one of them waited for, the test would give up before
    crowd = [*(bare(server.line) for _ in range(5)), *(half_a_hello(server.line) for _ in range(5))]
    crowd += [silent(server.line) for _ in range(5)]
    kept = connect(server.line)
    kept.sendall(b"GET / HTTP/1.1\r\nHost: here\r\n\r\n")
    assert kept.recv(65536).startswith(b"HTTP/1.1 200 ")

    assert server.stop() == 0
    assert server.log.read_text() == ""
    for client in chain(crowd, [kept]):
        client.close()


@pytest.mark.skipif(sys.platform != "linux", reason="asks /proc for the memory in use")
def test_three_hundred_silent_connections_cost_no_more_than_forty_megabytes(start):
    server = start()

    def resident():
        with open(f"/proc/{server.process.pid}/statm") as file:
            return int(file.read().split()[1]) * 4096

    server.ask("GET", "/")
    before = resident()
    crowd = [silent(server.line) for _ in range(300)]
    assert server.ask("GET", "/").status == 200

    assert resident() - before < 40_000_000  # asyncio's usual buffer alone would be 262,144 for each
    for client in crowd:
        client.close()
