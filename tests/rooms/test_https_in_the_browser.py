"""https as Chromium judges it, with nothing but the plant's authority in its store of trust (NSS, filled by certutil)."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Error, expect

from inspect_app.serving import running
from inspect_app.serving.tls import BroughtCertificate, LocalCertificate, Names, names_for
from inspect_app.serving.tls.files import write_pair
from inspect_app.serving.tls.leaf import make_leaf
from sample_units.chromium import FLAGS
from tests.conftest import PIN

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(
        shutil.which("certutil") is None and os.environ.get("CI") != "true", reason="needs certutil (libnss3-tools)"
    ),
]
NAMES = ["lampwalk.local", "bank.example"]


@pytest.fixture
def certificate(tmp_path: Path) -> LocalCertificate:
    """A certificate of the plant's authority."""
    return LocalCertificate(tmp_path / "tls", names_for("127.0.0.1", ["lampwalk.local"]))


@pytest.fixture
def address(app, plant, certificate) -> Iterator[str]:
    """A real server on the plant that speaks https, by its published name."""
    with running(app.wsgi_app, data_dir=app.extensions["lampwalk"].journal.folder.path, tls=certificate) as local:
        yield local.replace("localhost", "lampwalk.local")


@pytest.fixture
def browser(tmp_path, chromium):
    """Chromium with a home of its own; `trust()` puts an authority into its store before it starts."""
    home = tmp_path / "home"
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    opened = []

    def open_browser(trusted: Path | None):
        subprocess.run(["certutil", "-N", "--empty-password", "-d", f"sql:{store}"], check=True)
        if trusted:
            plain = tmp_path / "ca.pem"
            subprocess.run(["openssl", "x509", "-in", trusted, "-out", plain], check=True)
            subprocess.run(
                ["certutil", "-A", "-d", f"sql:{store}", "-t", "C,,", "-n", "plant", "-i", plain], check=True
            )
        rules = ", ".join(f"MAP {name} 127.0.0.1" for name in NAMES)
        opened.append(
            chromium.browser_type.launch(
                executable_path=shutil.which("chromium"), args=[*FLAGS, f"--host-resolver-rules={rules}"],
                env={**os.environ, "HOME": str(home)},
            )
        )  # fmt: skip
        return opened[-1]

    yield open_browser
    for one in opened:
        one.close()


def test_without_the_authority_there_is_a_warning(browser, address):
    page = browser(trusted=None).new_page()

    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(address)


def test_with_it_the_page_is_trusted_has_what_working_offline_needs_and_cookies_that_stay_off_plain_http(
    browser, address, tmp_path, plant
):
    context = browser(trusted=tmp_path / "tls" / "authority.pem").new_context(base_url=address, has_touch=True)
    page = context.new_page()
    page.goto("/sign-in")
    assert page.evaluate("isSecureContext")
    assert page.evaluate(
        "['serviceWorker' in navigator, 'locks' in navigator, 'storage' in navigator, 'caches' in window,"
        " 'randomUUID' in crypto, 'subtle' in crypto]"
    ) == [True] * 6  # fmt: skip

    page.get_by_role("button", name="Ines Okafor").tap()
    for digit in PIN:
        page.get_by_role("button", name=digit, exact=True).tap()
    page.get_by_role("button", name="Sign in").tap()
    page.wait_for_url(f"{address}/")
    expect(page.get_by_role("navigation", name="Rooms")).to_be_visible()
    signed_in = [cookie for cookie in context.cookies() if cookie["httpOnly"]]
    assert signed_in
    assert all(cookie["secure"] for cookie in signed_in)


def test_a_stolen_authority_is_of_no_use_against_a_site_outside_the_plant(browser, app, certificate, tmp_path):
    forged = Names(published="bank.example", every=("bank.example",))
    write_pair(tmp_path / "bank.pem", *make_leaf(certificate.authority, forged, datetime.now(UTC)))
    bank = BroughtCertificate(tmp_path / "bank.pem", tmp_path / "bank.pem")
    page = browser(trusted=tmp_path / "tls" / "authority.pem").new_page()

    with running(app.wsgi_app, data_dir=tmp_path, tls=bank) as local, pytest.raises(Error, match="ERR_CERT"):
        page.goto(local.replace("localhost", "bank.example"))
