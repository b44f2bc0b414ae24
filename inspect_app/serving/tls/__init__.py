"""https by a certificate authority of our own, or by a certificate that is brought along."""

from inspect_app.serving.tls.authority import Authority
from inspect_app.serving.tls.brought import BroughtCertificate
from inspect_app.serving.tls.context import Credentials
from inspect_app.serving.tls.files import TlsFault
from inspect_app.serving.tls.local import LocalCertificate
from inspect_app.serving.tls.names import Names, clean, names_for, origin

__all__ = [
    "Authority", "BroughtCertificate", "Credentials", "LocalCertificate", "Names", "TlsFault", "clean", "names_for",
    "origin",
]  # fmt: skip
