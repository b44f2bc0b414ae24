"""Which name is published, and what a name may look like."""

import socket

import pytest

from inspect_app.serving.tls import TlsFault, clean, names_for, origin

EVERY_ADDRESS = "0.0.0.0"  # noqa: S104  asked about, not listened on


@pytest.fixture(autouse=True)
def machine(monkeypatch):
    """A machine called Halden-Desk in a domain."""
    monkeypatch.setattr(socket, "gethostname", lambda: "Halden-Desk.yard.example")
    monkeypatch.setattr("inspect_app.serving.tls.names.own_addresses", lambda: ["192.168.7.10"])


@pytest.mark.parametrize(
    ("host", "asked", "published"),
    [
        ("127.0.0.1", [], "localhost"),
        ("localhost", [], "localhost"),
        ("192.168.7.10", [], "192.168.7.10"),
        (EVERY_ADDRESS, [], "halden-desk.local"),
        ("::", [], "halden-desk.local"),
        (EVERY_ADDRESS, ["Lampwalk.local", "192.168.7.11"], "lampwalk.local"),
        ("127.0.0.1", ["127.0.0.1"], "127.0.0.1"),
    ],
)
def test_one_name_is_published(host, asked, published):
    assert names_for(host, asked).published == published


def test_the_machine_its_addresses_and_the_loopback_are_named_too():
    assert names_for(EVERY_ADDRESS, ["lampwalk.local"]).every == (
        "lampwalk.local", "halden-desk.local", "halden-desk.yard.example", "192.168.7.10", "localhost", "127.0.0.1", "::1",
    )  # fmt: skip


def test_a_machine_whose_name_cannot_stand_in_a_certificate_goes_without(monkeypatch):
    monkeypatch.setattr(socket, "gethostname", lambda: "FRONT_DESK")  # RFC 1123 knows no underscore; Windows does

    assert names_for(EVERY_ADDRESS).every == ("192.168.7.10", "localhost", "127.0.0.1", "::1")


@pytest.mark.parametrize("text", ["Lampwalk.Local.", "[fe80::1]", "FE80::1", " 192.0.2.10 ", "xn--bro-xla.example"])
def test_names_are_brought_to_their_usual_spelling(text):
    assert clean(text) in {"lampwalk.local", "fe80::1", "192.0.2.10", "xn--bro-xla.example"}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "https://lampwalk.local",
        "lampwalk.local:8440",
        "a b",
        "büro.example",
        "-a.example",
        "a" * 64,
        "1.2.3",
        "*.local",
    ],
)
def test_what_is_no_name_is_one_sentence_that_shows_it(text):
    with pytest.raises(TlsFault) as fault:
        clean(text)

    assert str(fault.value).endswith(f"(got '{text}').")


@pytest.mark.parametrize(
    ("scheme", "name", "port", "text"),
    [
        ("https", "lampwalk.local", 8440, "https://lampwalk.local:8440"),
        ("https", "fe80::1", 443, "https://[fe80::1]"),
        ("http", "192.0.2.10", 80, "http://192.0.2.10"),
    ],
)
def test_an_origin_is_spelled_as_browsers_do(scheme, name, port, text):
    assert origin(scheme, name, port) == text
