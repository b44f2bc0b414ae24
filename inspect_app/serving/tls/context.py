"""What the server asks of a certificate, wherever it comes from: a context for new connections, kept up to date."""

import asyncio
import logging
import ssl
from pathlib import Path
from typing import Protocol

from inspect_app.serving.tls.files import TlsFault

log = logging.getLogger("lampwalk.serving")


class Credentials(Protocol):
    """A certificate in use."""

    context: ssl.SSLContext  # for the next connection; replaced whole, so that those that are open keep theirs

    def look(self) -> None:
        """Renew or read again what has to be; raises `TlsFault` and leaves `context` as it was when that fails."""


def server_context(certificate: Path, key: Path | None = None) -> ssl.SSLContext:
    """Return a context for a server; raises `ssl.SSLError` when key and certificate cannot be used together."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.options |= ssl.OP_NO_RENEGOTIATION
    context.set_alpn_protocols(["http/1.1"])
    context.load_cert_chain(certificate, key, password=lambda: "")  # never ask at the terminal
    return context


async def look_after(credentials: Credentials) -> None:
    """Have a certificate looked after beside the event loop; a fault becomes a line in the log."""
    try:
        await asyncio.to_thread(credentials.look)
    except TlsFault as fault:
        log.error("%s", fault)
    except Exception:
        log.exception("the certificate could not be looked after; the one in use stays")
