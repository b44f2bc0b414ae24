"""A certificate that somebody else has made: checked before it is used, read again when its files change."""

import logging
import os
import ssl
import stat
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.types import PrivateKeyTypes
from cryptography.hazmat.primitives.serialization import load_pem_private_key
from cryptography.x509.oid import ExtendedKeyUsageOID

from inspect_app.serving.tls.context import server_context
from inspect_app.serving.tls.files import TlsFault, same_key
from inspect_app.serving.tls.local import now_utc
from inspect_app.serving.tls.names import address

log = logging.getLogger("lampwalk.serving")

LONGEST = timedelta(days=825)  # Apple's published limit, document 103769
SOON = timedelta(days=14)


class BroughtCertificate:
    """See `context.Credentials`. Raises `TlsFault` when the two files cannot be used."""

    def __init__(self, certificate: Path, key: Path, clock: Callable[[], datetime] = now_utc) -> None:
        self._files = certificate, key
        self._clock = clock
        self._warned: date | None = None
        self._seen = self._stamp()
        self._use()

    @property
    def names(self) -> tuple[str, ...]:
        """Host names and addresses the certificate is for, those with a wildcard left out."""
        return tuple(name for name in self.all_names if "*" not in name)

    @property
    def all_names(self) -> list[str]:
        """All that it is for, with wildcards, in its own order."""
        return names_of(self.certificate)

    @property
    def until(self) -> datetime:
        """The end of its time, UTC."""
        return self.certificate.not_valid_after_utc

    def covers(self, name: str) -> bool:
        """Tell whether the certificate is for a name, also by a wildcard for its first label."""
        return name in self.all_names or f"*.{name.partition('.')[2]}" in self.all_names

    def look(self) -> None:
        """See `context.Credentials`: read the files again when they were changed, and say when the end is near."""
        stamp = self._stamp()
        if stamp != self._seen:
            self._use()
            self._seen = stamp
            log.info("the certificate was read again; it is good to %s", self.until.date())
        else:
            self._warn()

    def _stamp(self) -> list[tuple[int, int] | None]:
        return [(found.st_mtime_ns, found.st_ino) if (found := _stat(path)) else None for path in self._files]

    def _warn(self) -> None:
        today = self._clock()
        if self.until - today < SOON and today.date() != self._warned:
            self._warned = today.date()
            log.warning("the certificate in %s ends on %s; replace it", self._files[0], self.until.date())

    def _use(self) -> None:
        certificate = check(*self._files, self._clock())
        try:
            self.context = server_context(*self._files)
        except (ssl.SSLError, OSError) as fault:
            raise TlsFault(f"{self._files[0]} cannot be used ({fault}); bring another certificate.") from None
        self.certificate = certificate


def check(certificate: Path, key: Path, now: datetime) -> x509.Certificate:
    """Return the server's certificate from a PEM file, its first, having held it against its key and the time."""
    chain = _chain(certificate)
    secret = _key(key)
    _pair(chain, certificate, secret, key)
    leaf = chain[0]
    if now >= leaf.not_valid_after_utc:
        raise TlsFault(
            f"The certificate in {certificate} ended on {leaf.not_valid_after_utc:%Y-%m-%d}; bring a new one."
        )
    if now < leaf.not_valid_before_utc:
        begin = f"{leaf.not_valid_before_utc:%Y-%m-%d}"
        raise TlsFault(f"The certificate in {certificate} begins only on {begin}; check this computer's clock.")
    if not names_of(leaf):
        raise TlsFault(f"The certificate in {certificate} names no server (subject alternative name); bring another.")
    _caution(leaf, certificate)
    return leaf


def names_of(certificate: x509.Certificate) -> list[str]:
    """Return the host names and addresses a certificate is for, in its own order."""
    try:
        held = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return []
    numbers = [str(one) for one in held.get_values_for_type(x509.IPAddress)]
    return [*(name.lower() for name in held.get_values_for_type(x509.DNSName)), *numbers]


def first_host_name(names: tuple[str, ...]) -> str | None:
    """Return the first host name, or else the first address, or None."""
    return next((name for name in names if address(name) is None), next(iter(names), None))


def _chain(path: Path) -> list[x509.Certificate]:
    try:
        return x509.load_pem_x509_certificates(_read(path, "--cert"))
    except ValueError:
        raise TlsFault(f"{path} holds no certificate in PEM form; give one that begins '-----BEGIN'.") from None


def _key(path: Path) -> PrivateKeyTypes:
    text = _read(path, "--key")
    mode = stat.S_IMODE(path.stat().st_mode)
    if os.name != "nt" and mode & 0o027:  # a group that may read it is usual where a service of its own gets keys
        raise TlsFault(f"{path} is open to other accounts of this computer (mode {mode:04o}); run: chmod 600 {path}")
    try:
        return load_pem_private_key(text, None)
    except TypeError:
        raise TlsFault(
            f"The key in {path} is locked with a passphrase; bring one without, for its owner only."
        ) from None
    except ValueError:
        raise TlsFault(f"{path} holds no private key in PEM form; '--cert' and '--key' may be swapped.") from None


def _read(path: Path, option: str) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise TlsFault(f"'{option}': there is no file {path}; check its name.") from None
    except PermissionError:
        raise TlsFault(f"'{option}': this account may not read {path}; give it to the account that serves.") from None
    except OSError as fault:
        raise TlsFault(f"'{option}': {path} cannot be read ({os.strerror(fault.errno or 0)}).") from None


def _pair(chain: list[x509.Certificate], certificate: Path, secret: PrivateKeyTypes, key: Path) -> None:
    public = secret.public_key()
    if same_key(public, chain[0].public_key()):
        return
    if any(same_key(public, one.public_key()) for one in chain[1:]):
        raise TlsFault(f"In {certificate} the server's own certificate must come first; put it before the others.")
    raise TlsFault(
        f"The key in {key} is not that of the certificate in {certificate}; bring the two that belong together."
    )


def _caution(leaf: x509.Certificate, path: Path) -> None:
    if leaf.not_valid_after_utc - leaf.not_valid_before_utc > LONGEST:
        log.warning("the certificate in %s is for more than 825 days; Apple's devices refuse such", path)
    try:
        purposes = leaf.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    except x509.ExtensionNotFound:
        purposes = None
    if purposes is None or ExtendedKeyUsageOID.SERVER_AUTH not in purposes:
        log.warning("the certificate in %s is not marked for servers; Apple's devices refuse such", path)


def _stat(path: Path) -> os.stat_result | None:
    try:
        return path.stat()
    except OSError:
        return None
