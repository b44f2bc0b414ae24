"""A certificate authority of one plant: made once, kept in the data folder, trusted by the plant's tablets.

Whoever has its key can pose as any site to a tablet that trusts it, so it is bound to the names of a plant's own
network (RFC 5280, 4.2.1.10): a stolen key is of no use against a bank.
"""

import ipaddress
import logging
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import NameOID

from inspect_app.serving.tls.files import TlsFault, read_pair, write_pair
from inspect_app.serving.tls.names import Names, address

log = logging.getLogger("lampwalk.serving")

YEARS = 10
SKEW = timedelta(days=1)  # a tablet's clock may be behind
WARN = timedelta(days=365)

# What a name inside a plant may end in: RFC 6762 (local), RFC 8375 (home.arpa), RFC 6761 (localhost); "internal" is
# kept free for this by ICANN (from memory), "lan" is what many routers use (common practice, no source).
INSIDE = ("local", "localhost", "internal", "home.arpa", "lan")
# RFC 1918, RFC 3927, RFC 1122 3.2.1.3; RFC 4193, RFC 4291
NETWORKS = (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8",
    "::1/128", "fc00::/7", "fe80::/10",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Authority:
    """The authority's key and certificate."""

    key: ec.EllipticCurvePrivateKey
    certificate: x509.Certificate

    @property
    def der(self) -> bytes:
        """The certificate as tablets take it."""
        return self.certificate.public_bytes(Encoding.DER)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate in pairs of capital hexadecimal digits with colons, as devices show it."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(":").upper()

    @property
    def name(self) -> str:
        """What a device lists it under."""
        return str(self.certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)

    @property
    def until(self) -> datetime:
        """The end of its time, UTC."""
        return self.certificate.not_valid_after_utc

    def may_vouch_for(self, name: str) -> bool:
        """Tell whether a host name or address lies within what the authority is bound to."""
        bounds = (
            self.certificate.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
        )
        number = address(name)
        if number is not None:
            return any(isinstance(one, x509.IPAddress) and number in one.value for one in bounds)  # type: ignore[operator]
        ends = [one.value for one in bounds if isinstance(one, x509.DNSName)]
        return any(name == end or name.endswith(f".{end}") for end in ends)


def open_authority(path: Path, names: Names, now: datetime, machine: str) -> Authority:
    """Return the authority kept at `path`, making it when there is none.

    Raises `TlsFault` when the file is damaged, its time is over or has not begun, or it may not vouch for the published
    name. It is never replaced unasked: every tablet would have to be visited.
    """
    if not path.exists():
        made = make_authority(names, now, machine)
        write_pair(path, made.key, made.certificate)
        log.info("a certificate authority was made in %s; tablets have to trust it once", path)
    try:
        key, certificate = read_pair(path)
    except ValueError:
        raise TlsFault(f"{path} is damaged; put it back from a backup, or {_anew(path)}.") from None
    found = Authority(key=key, certificate=certificate)
    _check(found, path, names, now)
    return found


def make_authority(names: Names, now: datetime, machine: str) -> Authority:
    """Make an authority for ten years, bound to the networks of a plant and to these names."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([
        x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Lampwalk"),
        x509.NameAttribute(NameOID.COMMON_NAME, f"Lampwalk on {machine[:30]}, made {now:%Y-%m-%d}"),
    ])  # fmt: skip
    begin = (now - SKEW).replace(microsecond=0)
    builder = (
        x509.CertificateBuilder(subject_name=subject, issuer_name=subject, public_key=key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(begin + timedelta(days=YEARS * 365.25))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.NameConstraints(_bounds(names), None), critical=True)
    )
    return Authority(key=key, certificate=builder.sign(key, hashes.SHA256()))


def _usage() -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=False, content_commitment=False, key_encipherment=False, data_encipherment=False,
        key_agreement=False, key_cert_sign=True, crl_sign=True, encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _bounds(names: Names) -> list[x509.GeneralName]:
    numbers = [number for number in map(address, names.every) if number is not None]
    networks = [ipaddress.ip_network(text) for text in NETWORKS]
    outside = [ipaddress.ip_network(one) for one in numbers if not any(one in network for network in networks)]
    inside = [x509.DNSName(end) for end in INSIDE]
    given = [x509.DNSName(name) for name in names.every if address(name) is None and not _is_inside(name)]
    return [*inside, *given, *(x509.IPAddress(network) for network in [*networks, *outside])]


def _is_inside(name: str) -> bool:
    return any(name == end or name.endswith(f".{end}") for end in INSIDE)


def _check(found: Authority, path: Path, names: Names, now: datetime) -> None:
    if now >= found.until:
        raise TlsFault(f"The certificate authority in {path} ended on {found.until:%Y-%m-%d}; {_anew(path)}.")
    if now < found.certificate.not_valid_before_utc:
        raise TlsFault(f"The certificate authority in {path} is from the future; set this computer's clock right.")
    if not found.may_vouch_for(names.published):
        raise TlsFault(
            f"The certificate authority in {path} was made for other names and may not vouch for '{names.published}'; "
            f"choose a name ending in .local, or {_anew(path)}."
        )
    if found.until - now < WARN:
        log.warning(
            "the certificate authority in %s ends on %s; before that, %s", path, found.until.date(), _anew(path)
        )


def _anew(path: Path) -> str:
    return f"move {path} away, start again and have every tablet trust the new one"
