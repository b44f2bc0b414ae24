"""How tablets come to trust the server: the page for managers, and the plain one, as a person and as a scanner see them."""

from __future__ import annotations

import io
import re
from datetime import UTC, datetime

import pytest
import trustme
import zxingcpp
from accessible import THEME, faults
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from PIL import Image
from playwright.sync_api import expect

from inspect_app.rooms.setup.handout import Handout, offer
from sample_units.chromium import SIZES as SCREENS

SIZES = {"ipad": (820, 1180), "wide": (1180, 820), "phone": (390, 844)}
STEPS = {"ipad": 6, "android": 6, "windows": 5}


@pytest.fixture
def handout():
    """A server with a certificate of its own; the authority here is trustme's."""
    der = x509.load_pem_x509_certificate(trustme.CA().cert_pem.bytes()).public_bytes(Encoding.DER)
    return Handout(
        address="https://halden.local:8440", page="http://halden.local:8441", name="Lampwalk on halden, made 2026-11-25",
        fingerprint=":".join(f"{number:02X}" for number in range(200, 232)), der=der,
        ends=lambda: datetime(2027, 12, 27, tzinfo=UTC), authority_ends=datetime(2036, 11, 24, tzinfo=UTC),
    )  # fmt: skip


def test_without_tls_the_page_says_how_to_get_it(client_as):
    client = client_as("maud")

    assert "start it with --tls" in client.get("/setup/certificate").text
    answer = client.get("/setup/certificate/lampwalk-ca.crt")
    assert (answer.status_code, answer.json["error"]["code"]) == (404, "no_authority")


def test_a_manager_sees_the_fingerprint_and_can_carry_the_certificate_away(app, client_as, handout):
    offer(app, handout)
    client = client_as("maud")

    page, file = client.get("/setup/certificate"), client.get("/setup/certificate/lampwalk-ca.crt")

    assert "C8:C9:CA:CB:CC:CD:CE:CF" in page.text
    assert "2027-12-27" in page.text
    assert (file.mimetype, file.data) == ("application/x-x509-ca-cert", handout.der)


@pytest.mark.parametrize("key", ["ines", "per"])
def test_it_belongs_to_the_setup_and_so_to_managers(app, client_as, handout, key):
    offer(app, handout)

    assert client_as(key).get("/setup/certificate").status_code == 403


def test_with_a_certificate_from_elsewhere_there_is_nothing_to_hand_out(app, client_as, handout):
    offer(app, Handout(address="https://vans.example", ends=handout.ends))
    page = client_as("maud").get("/setup/certificate")

    assert "nothing to hand out" in page.text
    assert page.text.count("<svg") >= 1
    assert client_as("maud").get("/setup/certificate/lampwalk-ca.crt").status_code == 404


def test_the_plain_page_needs_only_what_is_handed_out_with_it(app, handout):
    pages = offer(app, handout)
    text = pages["/"][1].decode()

    asked = set(re.findall(r'(?:href|src)="(/[^"#]*)"', text))
    assert asked == pages.keys() - {"/"}
    assert "<script" not in text
    assert pages["/lampwalk-ca.crt"] == ("application/x-x509-ca-cert", handout.der)


@pytest.fixture
def plain(app, handout, chromium):
    """The plain page in Chromium, its files answered from memory."""
    pages, errors = offer(app, handout), []

    def answer(route):
        kind, body = pages[route.request.url.removeprefix("http://halden.local:8441")]
        route.fulfill(content_type=kind, body=body)

    context = chromium.new_context(device_scale_factor=2, has_touch=True)
    context.route("**/*", answer)
    page = context.new_page()
    page.on("console", lambda said: errors.append(said.text))
    page.goto("http://halden.local:8441/")
    yield page
    context.close()
    assert errors == []


def read_off(page):
    """What a scanner reads from the screen."""
    screen = Image.open(io.BytesIO(page.screenshot(full_page=True)))
    return {found.text for found in zxingcpp.read_barcodes(screen)}


@pytest.mark.browser
def test_the_plain_page_is_clean_to_axe_has_a_picture_for_every_step_and_a_scanner_reads_both_addresses(plain, handout):
    page = plain
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        assert [f"{size}: {fault}" for fault in faults(page)] == []
        assert not page.evaluate("document.documentElement.scrollWidth > innerWidth"), size
        for kind, steps in STEPS.items():
            pictures = page.locator(f"#{kind} li svg.hp").count()
            assert pictures == page.locator(f"#{kind} li").count() == steps, (size, kind)
        fetch = page.get_by_role("link", name="Fetch the certificate")
        assert fetch.bounding_box()["height"] >= 48, size
        if size == "ipad":
            assert read_off(page) == {handout.page, handout.address}


@pytest.mark.browser
def test_the_setup_leads_to_the_managers_page_and_a_scanner_reads_them_from_it_in_both_themes(app, handout, page_as):
    offer(app, handout)
    page = page_as("maud", "/setup")
    page.get_by_role("link", name="Certificate").tap()
    expect(page.get_by_role("heading", name="Certificate")).to_be_visible()

    for theme, size in (("lamp", "tall"), ("day", "phone")):
        page.evaluate(THEME, theme)
        width, height = SCREENS[size]
        page.set_viewport_size({"width": width, "height": height})
        assert not page.evaluate("document.documentElement.scrollWidth > innerWidth"), size
        assert read_off(page) == {handout.page, handout.address}, (theme, size)
        assert [f"{theme}, {size}: {fault}" for fault in faults(page)] == []
