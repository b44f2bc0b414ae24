"""The plant's own authority and its certificates, read by programs that are not ours: OpenSSL and Python's ssl."""

import os
import re
import ssl
import stat
import subprocess
from datetime import UTC, datetime, timedelta

import pytest

from inspect_app.serving.tls import LocalCertificate, Names, TlsFault, names_for

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
NAMES = Names(
    published="halden.local", every=("halden.local", "halden", "192.168.7.10", "localhost", "127.0.0.1", "::1")
)


@pytest.fixture
def made(tmp_path):
    """A certificate of an authority made just now."""
    return LocalCertificate(tmp_path, NAMES, clock=lambda: NOW)


def openssl(*words):
    """What OpenSSL's own program says; its exit code first."""
    result = subprocess.run(["openssl", *map(str, words)], capture_output=True, text=True, check=False)
    return result.returncode, result.stdout + result.stderr


def times(path):
    """Begin and end of a certificate as OpenSSL reads them, both included (RFC 5280, 4.1.2.5)."""
    _, said = openssl("x509", "-in", path, "-noout", "-startdate", "-enddate")
    begin, end = (ssl.cert_time_to_seconds(text) for text in re.findall(r"=(.+)", said))
    return begin, end


@pytest.mark.parametrize(("kind", "name"), [
    ("-verify_hostname", "halden.local"), ("-verify_hostname", "halden"), ("-verify_hostname", "localhost"),
    ("-verify_ip", "192.168.7.10"), ("-verify_ip", "127.0.0.1"), ("-verify_ip", "::1"),
])  # fmt: skip
def test_openssl_trusts_the_certificate_for_each_of_its_names(made, tmp_path, kind, name):
    at = int(NOW.timestamp()) + 60
    code, said = openssl("verify", "-x509_strict", "-purpose", "sslserver", "-attime", at, "-CAfile", tmp_path / "authority.pem",
                         kind, name, tmp_path / "server.pem")  # fmt: skip

    assert (code, said.split()[-1]) == (0, "OK")


def test_openssl_does_not_trust_it_for_another_name_or_without_the_authority(made, tmp_path):
    at = int(NOW.timestamp()) + 60
    trusting = ["-CAfile", tmp_path / "authority.pem", "-attime", at]

    assert openssl("verify", *trusting, "-verify_hostname", "other.local", tmp_path / "server.pem")[0] != 0
    assert openssl("verify", "-attime", at, "-no-CAfile", "-no-CApath", tmp_path / "server.pem")[0] != 0


def test_the_certificate_lasts_no_longer_than_tablets_accept(made, tmp_path):
    begin, end = times(tmp_path / "server.pem")

    # Apple: at most 825 days for any authority (document 103769); 398, and 397 recommended, for those that come with
    # the device (document 102028). A day is 86,400 s, and both ends count.
    assert end - begin + 1 <= 397 * 86_400
    assert begin < NOW.timestamp() < end - 300 * 86_400


def test_the_authority_lasts_ten_years(made, tmp_path):
    begin, end = times(tmp_path / "authority.pem")

    assert 3_650 <= (end - begin) / 86_400 <= 3_653


def test_the_certificate_has_what_apples_devices_ask_for(made, tmp_path):
    _, text = openssl("x509", "-in", tmp_path / "server.pem", "-noout", "-text")

    assert "DNS:halden.local, DNS:halden, IP Address:192.168.7.10" in text
    assert "TLS Web Server Authentication" in text
    assert set(re.findall(r"Signature Algorithm: (\S+)", text)) == {"ecdsa-with-SHA256"}
    assert "CA:FALSE" in text


def test_the_authority_may_sign_servers_of_the_plant_and_nothing_else(made, tmp_path):
    _, text = openssl("x509", "-in", tmp_path / "authority.pem", "-noout", "-text")

    assert "CA:TRUE, pathlen:0" in text
    assert re.search(r"Key Usage: critical\s+Certificate Sign, CRL Sign", text)
    assert re.search(r"Name Constraints: critical\s+Permitted:\s+DNS:local\s", text)
    assert "IP:192.168.0.0/255.255.0.0" in text


def test_a_stolen_authority_cannot_pose_as_a_site_outside_the_plant(made, tmp_path):
    from inspect_app.serving.tls.files import write_pair
    from inspect_app.serving.tls.leaf import make_leaf

    write_pair(
        tmp_path / "bank.pem", *make_leaf(made.authority, Names(published="bank.example", every=("bank.example",)), NOW)
    )
    code, said = openssl(
        "verify", "-attime", int(NOW.timestamp()), "-CAfile", tmp_path / "authority.pem", tmp_path / "bank.pem"
    )

    assert code != 0
    assert "permitted subtree violation" in said


def test_the_fingerprint_is_the_one_openssl_computes(made, tmp_path):
    _, said = openssl("x509", "-in", tmp_path / "authority.pem", "-noout", "-fingerprint", "-sha256")

    assert made.authority.fingerprint == said.strip().rpartition("=")[2]


def test_keys_are_readable_for_their_owner_only(made, tmp_path):
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()}

    assert modes == {"authority.pem": 0o600, "server.pem": 0o600}


def test_a_key_that_became_readable_for_others_is_closed_again_and_said(made, tmp_path, caplog):
    os.chmod(tmp_path / "authority.pem", 0o644)

    LocalCertificate(tmp_path, NAMES, clock=lambda: NOW)

    assert stat.S_IMODE((tmp_path / "authority.pem").stat().st_mode) == 0o600
    assert "could be read by other accounts" in caplog.text


def test_the_next_start_uses_the_same_authority_and_the_same_certificate(made, tmp_path):
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}

    LocalCertificate(tmp_path, NAMES, clock=lambda: NOW + timedelta(days=300))

    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


@pytest.mark.parametrize(("names", "days"), [
    (NAMES, 367), (NAMES, 5_00), (Names(published="halden.local", every=("halden.local",)), 1),
])  # fmt: skip
def test_a_start_late_in_its_time_or_with_other_names_makes_a_new_one_by_the_same_authority(
    made, tmp_path, names, days
):
    authority = (tmp_path / "authority.pem").read_bytes()
    later = NOW + timedelta(days=days)

    again = LocalCertificate(tmp_path, names, clock=lambda: later)

    assert (tmp_path / "authority.pem").read_bytes() == authority
    assert again.until > made.until or names != NAMES
    assert times(tmp_path / "server.pem")[0] > NOW.timestamp() - 86_400


def test_a_damaged_server_certificate_is_made_anew(made, tmp_path):
    (tmp_path / "server.pem").write_bytes(b"-----BEGIN nonsense")

    LocalCertificate(tmp_path, NAMES, clock=lambda: NOW)

    assert openssl("x509", "-in", tmp_path / "server.pem", "-noout", "-subject")[0] == 0


@pytest.mark.parametrize(
    ("damage", "word"), [(b"", "is damaged"), (b"-----BEGIN CERTIFICATE-----\nAAAA\n", "is damaged")]
)
def test_a_damaged_authority_is_one_sentence_and_is_never_replaced(made, tmp_path, damage, word):
    (tmp_path / "authority.pem").write_bytes(damage)

    with pytest.raises(TlsFault, match=word):
        LocalCertificate(tmp_path, NAMES, clock=lambda: NOW)
    assert (tmp_path / "authority.pem").read_bytes() == damage


@pytest.mark.parametrize(
    ("later", "word"), [(timedelta(days=3_653), "ended on 2036-11-2"), (-timedelta(days=2), "clock")]
)
def test_an_authority_out_of_its_time_is_one_sentence(made, tmp_path, later, word):
    with pytest.raises(TlsFault, match=word):
        LocalCertificate(tmp_path, NAMES, clock=lambda: NOW + later)


def test_near_the_end_of_the_authority_certificates_end_with_it_and_a_line_warns(made, tmp_path, caplog):
    last = LocalCertificate(tmp_path, NAMES, clock=lambda: made.authority.until - timedelta(days=20))

    assert last.until == made.authority.until
    assert "have every tablet trust the new one" in caplog.text
    before = (tmp_path / "server.pem").read_bytes()
    last.look()
    assert (tmp_path / "server.pem").read_bytes() == before  # nothing better can be made, so none is made each minute


def test_a_name_the_authority_was_not_made_for_is_refused_when_published_and_left_out_otherwise(made, tmp_path, caplog):
    every = (*NAMES.every, "vans.example")
    with pytest.raises(TlsFault, match=r"may not vouch for 'vans\.example'"):
        LocalCertificate(tmp_path, Names(published="vans.example", every=every), clock=lambda: NOW)

    LocalCertificate(tmp_path, Names(published="halden.local", every=every), clock=lambda: NOW)

    assert "may not vouch for 'vans.example'" in caplog.text
    assert "vans.example" not in openssl("x509", "-in", tmp_path / "server.pem", "-noout", "-text")[1]


def test_a_name_given_at_the_first_start_may_lie_outside(tmp_path):
    LocalCertificate(tmp_path, names_for("192.0.2.10", ["vans.example"]))

    for kind, name in (("-verify_hostname", "vans.example"), ("-verify_ip", "192.0.2.10")):
        assert openssl("verify", "-CAfile", tmp_path / "authority.pem", kind, name, tmp_path / "server.pem")[0] == 0
