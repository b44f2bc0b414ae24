"""The certificate of the plant's own authority, kept in the data folder and renewed by itself."""

import logging
import socket
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from cryptography import x509

from inspect_app.serving.tls.authority import open_authority
from inspect_app.serving.tls.context import server_context
from inspect_app.serving.tls.files import read_pair, write_pair
from inspect_app.serving.tls.leaf import make_leaf, still_good
from inspect_app.serving.tls.names import Names

log = logging.getLogger("lampwalk.serving")


def now_utc() -> datetime:
    """Return the time of this computer."""
    return datetime.now(UTC)


class LocalCertificate:
    """See `context.Credentials`. The folder holds `authority.pem` and `server.pem`, each a key and its certificate."""

    def __init__(self, folder: Path, names: Names, clock: Callable[[], datetime] = now_utc) -> None:
        self._path = folder / "server.pem"
        self._clock = clock
        self.authority = open_authority(folder / "authority.pem", names, clock(), socket.gethostname())
        self.names = self._those_vouched_for(names)
        self._leaf = self._kept() or self._made()
        self.context = server_context(self._path)

    @property
    def until(self) -> datetime:
        """The end of the time of the certificate in use, UTC."""
        return self._leaf.not_valid_after_utc

    def look(self) -> None:
        """See `context.Credentials`."""
        if not still_good(self._leaf, self.authority, self.names, self._clock()):
            self._leaf = self._made()
            self.context = server_context(self._path)

    def _those_vouched_for(self, names: Names) -> Names:
        allowed = tuple(name for name in names.every if self.authority.may_vouch_for(name))
        for name in names.every:
            if name not in allowed:
                log.warning("the certificate authority may not vouch for '%s'; the certificate is without it", name)
        return Names(published=names.published, every=allowed)

    def _kept(self) -> x509.Certificate | None:
        try:
            _, certificate = read_pair(self._path)
        except (FileNotFoundError, ValueError):
            return None
        return certificate if still_good(certificate, self.authority, self.names, self._clock()) else None

    def _made(self) -> x509.Certificate:
        key, certificate = make_leaf(self.authority, self.names, self._clock())
        write_pair(self._path, key, certificate)
        log.info(
            "a certificate was made for %s, good to %s", self.names.published, certificate.not_valid_after_utc.date()
        )
        return certificate
