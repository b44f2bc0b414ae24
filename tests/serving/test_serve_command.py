"""`lampwalk serve --tls` from outside: what it prints, what it hands out, what it refuses."""

import hashlib
import os
import pty
import re
import signal
import socket
import ssl
import subprocess
import sys
from http.client import HTTPConnection

import numpy
import pytest
import trustme
import zxingcpp
from command import Served, run

EVERY_ADDRESS = "0.0.0.0"  # noqa: S104  as in a shop


@pytest.fixture
def serve(tmp_path):
    """Start `lampwalk serve` on a folder; the same folder each time."""
    started = []

    def _serve(*options):
        started.append(Served(tmp_path / "data", *options))
        return started[-1]

    yield _serve
    for one in started:
        one.close()


def fetch(page, path, method="GET"):
    """One request to the plain page for tablets."""
    connection = HTTPConnection("127.0.0.1", int(page.rpartition(":")[2]), timeout=30)
    connection.request(method, path)
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    return answer, body


def test_without_tls_nothing_is_made_and_plain_http_is_served(serve):
    server = serve("--port", "0")

    assert server.address.startswith("http://127.0.0.1:")
    assert server.ask("GET", "/healthz").status == 200
    assert not (server.folder / "tls").exists()


def test_what_a_tablet_fetches_is_the_authority_with_the_printed_fingerprint(serve):
    server = serve("--tls", "--port", "0")

    answer, certificate = fetch(server.page, "/lampwalk-ca.crt")

    assert answer.getheader("content-type") == "application/x-x509-ca-cert"
    assert hashlib.sha256(certificate).hexdigest().upper() == server.fingerprint.replace(":", "")
    trusting = ssl.create_default_context(cadata=certificate)
    connection = server.connection(trusting)
    connection.request("GET", "/healthz")
    assert connection.getresponse().status == 200
    connection.close()


def test_a_tablet_that_does_not_find_the_name_is_given_a_number_and_the_loopback_a_warning(serve):
    everywhere = serve(
        "--tls", "--port", "0", "--host", EVERY_ADDRESS, "--name", "lampwalk.local", "--name", "192.168.7.9"
    )
    assert everywhere.stop() == 0
    here = serve("--tls", "--port", "0")

    assert (
        f"(should the name not be found: {everywhere.page.replace('lampwalk.local', '192.168.7.9')})\n"
        in everywhere.said
    )
    assert "Only this computer reaches it" in here.said[1]
    assert not any("should the name" in line for line in here.said)


def test_the_plain_page_hands_out_the_certificate_and_nothing_else(serve):
    server = serve("--tls", "--port", "0")
    page, text = fetch(server.page, "/")

    assert page.getheader("content-type") == "text/html; charset=utf-8"
    assert server.fingerprint[:23] in text.decode()
    for path in (
        "/sign-in",
        "/healthz",
        "/client/start.js",
        "/../lampwalk.db",
        "//lampwalk.local",
        "/lampwalk-ca.crt/",
    ):
        answer, _ = fetch(server.page, path)
        assert (answer.status, answer.getheader("location")) == (404, None)
    assert fetch(server.page, "/", "POST")[0].status == 405
    assert fetch(server.page, "/", "HEAD")[1] == b""


def test_neither_side_sets_hsts_and_the_plain_side_sets_no_cookie(serve):
    server = serve("--tls", "--port", "0")
    answers = [server.ask("GET", "/sign-in"), fetch(server.page, "/")[0]]

    assert [answer.getheader("strict-transport-security") for answer in answers] == [None, None]
    assert answers[1].getheader("set-cookie") is None


def test_flask_knows_that_it_is_spoken_to_by_https(serve):
    server = serve("--tls", "--port", "0")

    cookie = server.ask("GET", "/first").getheader("set-cookie")
    stranger = server.ask("POST", "/first", b"", Origin="https://elsewhere.example", Host=f"localhost:{server.port}")

    assert "; Secure" in cookie
    assert stranger.status == 403


def test_a_code_is_drawn_on_a_terminal_and_leads_to_the_page(tmp_path):
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "inspect_app", "serve", "--data", str(tmp_path / "data"), "--tls", "--port", "0"]
    process = subprocess.Popen(
        command, stdout=theirs, stderr=subprocess.DEVNULL, env={**os.environ, "PYTHONIOENCODING": "utf-8"}
    )
    text = ""
    while not re.search("▀{20}.*\n", text):  # the lower edge: an odd number of modules leaves half a line
        text += os.read(ours, 65536).decode()
    process.terminate()
    process.wait(60)

    page = next(line for line in text.splitlines() if "once, at" in line).split()[-1]
    assert scanned(text) == page


def scanned(text):
    """Read a code drawn in half blocks, white on black, by a program that is not ours."""
    rows = re.findall(r"\x1b\[97;40m([ ▀▄█]+)\x1b\[0m", text)
    halves = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
    width = max(map(len, rows))
    light = [[halves[sign][half] for sign in row.ljust(width)] for row in rows for half in (0, 1)]
    picture = numpy.array(light, dtype=numpy.uint8) * 255
    picture = numpy.pad(picture, 4, constant_values=255)
    return zxingcpp.read_barcodes(numpy.kron(picture, numpy.ones((8, 8), dtype=numpy.uint8)))[0].text


def test_no_code_is_drawn_into_a_file(serve):
    server = serve("--tls", "--port", "0")
    server.process.send_signal(signal.SIGTERM)

    assert not set("▀▄█") & set("".join(server.said) + server.process.stdout.read())


def test_names_that_were_given_once_hold_at_the_next_start(serve):
    first = serve("--tls", "--port", "0", "--name", "Lampwalk.local", "--name", "192.168.7.9")
    assert first.address.startswith("https://lampwalk.local:")
    assert first.stop() == 0
    second = serve("--tls", "--port", "0")

    assert second.address.startswith("https://lampwalk.local:")
    assert second.fingerprint == first.fingerprint
    plain = socket.create_connection(("127.0.0.1", second.port))
    with second.trusting.wrap_socket(plain, server_hostname="192.168.7.9"):
        assert second.stop() == 0


def test_a_changed_name_or_scheme_is_warned_of_and_an_unchanged_one_is_not(serve, free_port):
    port = str(free_port())
    told = []
    for options in (["--tls", "--name", "a.local"], ["--tls"], ["--tls", "--name", "b.local"], []):
        extra = ["--http-port", "0"] if options else []
        server = serve("--port", port, *options, *extra)
        assert server.stop() == 0
        told.append([line for line in server.log.read_text().splitlines() if line.startswith("The address was")])

    assert [len(lines) for lines in told] == [0, 0, 1, 1]
    assert f"https://a.local:{port} at the last start and is https://b.local:{port} now" in told[2][0]
    assert f"is http://127.0.0.1:{port} now" in told[3][0]


@pytest.mark.parametrize(
    ("options", "word"),
    [
        (["--cert", "a.crt"], "'--cert' and '--key' go together"),
        (["--name", "a.local"], "give --tls as well"),
        (["--http-port", "9000"], "--tls alone"),
        (["--tls", "--cert", "a", "--key", "b", "--http-port", "1"], "--tls alone"),
    ],
)
def test_options_that_do_not_go_together_are_one_sentence_and_touch_nothing(tmp_path, options, word):
    result = run(tmp_path / "data", *options)

    assert (result.returncode, result.stderr.count("\n")) == (2, 1)
    assert word in result.stderr
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize("name", ["https://a.local", "a.local:8440", "my pc"])
def test_a_name_that_is_none_is_one_sentence(tmp_path, name):
    result = run(tmp_path / "data", "--tls", "--name", name)

    assert result.returncode == 1
    assert result.stderr.strip().splitlines()[-1].endswith(f"(got '{name}').")
    assert "Traceback" not in result.stderr


def test_a_taken_port_of_the_page_is_one_sentence_and_nothing_is_served(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as other:
        taken = str(other.getsockname()[1])
        result = run(tmp_path / "data", "--tls", "--port", "0", "--http-port", taken)

    assert (result.returncode, result.stdout) == (1, "")
    assert f"Port {taken} on 127.0.0.1 cannot be used" in result.stderr


@pytest.fixture
def pair(tmp_path):
    """A certificate from elsewhere, and what trusts it."""
    authority = trustme.CA()
    made = authority.issue_cert("localhost", "vans.example")
    certificate, key = tmp_path / "site.crt", tmp_path / "site.key"
    made.cert_chain_pems[0].write_to_path(certificate)
    made.private_key_pem.write_to_path(key)
    key.chmod(0o600)
    trusting = ssl.create_default_context()
    authority.configure_trust(trusting)
    return ["--cert", str(certificate), "--key", str(key)], trusting


def test_a_certificate_from_elsewhere_is_served_without_an_authority_of_ours_or_a_page(serve, pair):
    options, trusting = pair
    server = serve("--port", "0", "--name", "vans.example", *options)
    connection = server.connection(trusting)
    connection.request("GET", "/healthz")

    assert connection.getresponse().status == 200
    connection.close()
    assert server.address.startswith("https://vans.example:")
    assert server.page == ""
    assert not (server.folder / "tls").exists()


def test_what_is_wrong_with_a_certificate_from_elsewhere_is_one_sentence(tmp_path, pair):
    options, _ = pair
    (tmp_path / "site.key").chmod(0o644)
    wide = run(tmp_path / "data", *options)
    (tmp_path / "site.key").chmod(0o600)
    other = run(tmp_path / "data", "--name", "other.example", *options)

    assert (wide.returncode, other.returncode) == (1, 1)
    assert "run: chmod 600" in wide.stderr.splitlines()[-1]
    assert "is not for 'other.example'; it is for localhost, vans.example." in other.stderr.splitlines()[-1]
