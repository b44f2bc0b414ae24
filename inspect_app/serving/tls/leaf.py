"""The server's own certificate: short-lived, made anew by itself, within what tablets accept.

Apple's devices refuse a server certificate of more than 825 days, without a DNS name as alternative name, without the
purpose "server authentication", or signed with anything older than SHA-256 (Apple's published requirements, document
103769). For authorities that come with the device the limit is 398 days, with 397 recommended (document 102028); ours
does not come with it, but what holds for the stricter case will hold for longer.
"""

from datetime import datetime, timedelta

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from inspect_app.serving.tls.authority import SKEW, Authority
from inspect_app.serving.tls.names import Names

LIFE = timedelta(days=397) - timedelta(seconds=1)  # both ends count (RFC 5280, 4.1.2.5)
RENEW = timedelta(days=30)
COMMON_NAME_MOST = 64  # RFC 5280, appendix A.1


def make_leaf(authority: Authority, names: Names, now: datetime) -> tuple[ec.EllipticCurvePrivateKey, x509.Certificate]:
    """Make a key and a certificate for these names, from a day ago for 397 days, or up to the authority's end."""
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = authority.certificate
    begin = max((now - SKEW).replace(microsecond=0), issuer.not_valid_before_utc)
    identifier = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    builder = (
        x509.CertificateBuilder(issuer_name=issuer.subject, subject_name=_subject(names), public_key=key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(min(begin + LIFE, authority.until))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(names.general()), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(identifier), critical=False)
    )
    return key, builder.sign(authority.key, hashes.SHA256())


def still_good(certificate: x509.Certificate, authority: Authority, names: Names, now: datetime) -> bool:
    """Tell whether a certificate is ours, for just these names, and good for a month (or to the authority's end)."""
    try:
        certificate.verify_directly_issued_by(authority.certificate)
        held = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (InvalidSignature, ValueError, TypeError, x509.ExtensionNotFound):
        return False
    lasts = certificate.not_valid_after_utc >= min(now + RENEW, authority.until)
    return lasts and certificate.not_valid_before_utc <= now and set(held) == set(names.general())


def _subject(names: Names) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names.published[:COMMON_NAME_MOST])])


def _usage() -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=True, content_commitment=False, key_encipherment=False, data_encipherment=False,
        key_agreement=False, key_cert_sign=False, crl_sign=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip
