"""What the server answers by itself is said in the language of whoever asks, as far as it can know that."""

import socket
from http.client import HTTPConnection
from urllib.parse import urlsplit

import pytest
from tiny_app import make_app

from inspect_app.serving import Limits, running
from inspect_app.words.languages import languages
from tests.words.pseudo import KEY, write


@pytest.fixture
def address(tmp_path):
    spoken = languages(write(tmp_path / "words").parent)[KEY].translations
    with running(
        make_app(tmp_path),
        data_dir=tmp_path,
        limits=Limits(json_bytes=100),
        tongue=lambda cookies: spoken if "language=eo" in cookies or not cookies else None,
    ) as found:
        yield found


def refused(address: str, cookie: str) -> str:
    line = HTTPConnection(urlsplit(address).netloc, timeout=60)
    line.request("POST", "/sync", body=b"x" * 101, headers={"cookie": cookie, "content-type": "application/json"})
    return line.getresponse().read().decode("unicode_escape")


def test_a_body_that_is_too_large_is_refused_in_the_language_of_the_cookie(address):
    assert "⟦Ťĥíś" in refused(address, "language=eo")
    assert "This JSON body is larger than the 100 bytes the server takes" in refused(address, "language=en")


def test_what_is_no_request_is_refused_in_the_language_of_the_plant(address):
    parts = urlsplit(address)
    with socket.create_connection((parts.hostname, parts.port), timeout=60) as line:
        line.sendall(b"this is no request\r\n\r\n")
        answer = line.makefile("rb").read().decode()

    assert answer.startswith("HTTP/1.1 400 ")
    assert "\\u27e6" in answer  # ⟦, as JSON writes it
