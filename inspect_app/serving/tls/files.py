"""Keys and certificates as files: a key and its certificate in one file, written whole, for its owner only."""

import logging
import os
import stat
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.types import PublicKeyTypes
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
)

log = logging.getLogger("lampwalk.serving")


class TlsFault(Exception):
    """Something about certificates that a person has to put right; the text is one sentence."""


def write_pair(path: Path, key: ec.EllipticCurvePrivateKey, certificate: x509.Certificate) -> None:
    """Write a key and its certificate as one PEM file of mode 0600, all of it or nothing."""
    text = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    text += certificate.public_bytes(Encoding.PEM)
    write_private(path, text)


def write_private(path: Path, text: bytes) -> None:
    """Write a file of mode 0600 so that after a crash either the old or the new one is there."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    beside = path.with_name(f"{path.name}.new")
    beside.unlink(missing_ok=True)
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)


def read_pair(path: Path) -> tuple[ec.EllipticCurvePrivateKey, x509.Certificate]:
    """Read what `write_pair` wrote, and take rights away from others that it did not give.

    Raises `FileNotFoundError`, and `ValueError` when the file does not hold a key and its certificate.
    """
    text = path.read_bytes()
    keep_to_owner(path)
    key, certificate = load_pem_private_key(text, None), x509.load_pem_x509_certificate(text)
    if not isinstance(key, ec.EllipticCurvePrivateKey) or not same_key(key.public_key(), certificate.public_key()):
        raise ValueError("the key is not that of the certificate")
    return key, certificate


def keep_to_owner(path: Path) -> None:
    """Set the mode of a private file back to 0600, with a line in the log when it was wider."""
    if os.name != "nt" and stat.S_IMODE(path.stat().st_mode) & 0o077:
        log.warning("%s could be read by other accounts of this computer; its mode is 0600 again", path)
        path.chmod(0o600)


def same_key(one: PublicKeyTypes, other: PublicKeyTypes) -> bool:
    """Tell whether two public keys are one."""
    form = Encoding.DER, PublicFormat.SubjectPublicKeyInfo
    return one.public_bytes(*form) == other.public_bytes(*form)
