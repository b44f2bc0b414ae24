"""The names a server is called by. One of them is published: to a browser another name is another, empty store."""

import ipaddress
import re
import socket
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass

from cryptography import x509

from inspect_app.serving.tls.files import TlsFault

# RFC 1123, 2.1: letters, digits and hyphens, no hyphen at an end; RFC 1035, 2.3.4: 63 in a label, 255 octets in all.
LABEL = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)")
LONGEST = 253
LOOPBACK = ("localhost", "127.0.0.1", "::1")
EVERYWHERE = ("", "0.0.0.0", "::")  # noqa: S104  what a person may ask for, not what we listen on


@dataclass(frozen=True, kw_only=True)
class Names:
    """Host names and IP addresses in their usual spelling: the published one, and all (it among them)."""

    published: str
    every: tuple[str, ...]

    @property
    def number(self) -> str | None:
        """The first address that other computers reach, or None."""
        return next((name for name in self.every if address(name) is not None and not loopback(name)), None)

    def general(self) -> list[x509.GeneralName]:
        """Return them as entries of a certificate."""
        return [general(name) for name in self.every]


def address(name: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    """Return a name as an IP address, or None when it is a host name."""
    with suppress(ValueError):
        return ipaddress.ip_address(name)
    return None


def general(name: str) -> x509.GeneralName:
    """Return one name as an entry of a certificate."""
    number = address(name)
    return x509.DNSName(name) if number is None else x509.IPAddress(number)


def clean(text: str) -> str:
    """Return a host name or IP address in its usual spelling; raise `TlsFault` when it is neither."""
    name = text.strip().lower().removeprefix("[").removesuffix("]").removesuffix(".")
    number = address(name)
    if number is not None:
        return str(number)
    labels = name.split(".")
    if len(name) > LONGEST or not all(LABEL.fullmatch(label) for label in labels) or labels[-1].isdigit():
        raise TlsFault(
            "'--name' takes a host name or an IP address alone, such as lampwalk.local or 192.0.2.10 "
            f"(got '{text[:80]}')."
        )
    return name


def names_for(host: str, asked: Iterable[str] = ()) -> Names:
    """Return the names of a server that listens on `host`; the first of `asked` is published.

    When none is asked for: the address listened on, or, when that is every address, the machine's name with `.local`.
    """
    wanted = [clean(name) for name in asked]
    listened = [*machine_names(), *own_addresses()] if host in EVERYWHERE else [clean(host)]
    if host not in EVERYWHERE and not loopback(listened[0]):
        listened += machine_names()
    every = tuple(dict.fromkeys([*wanted, *listened, *LOOPBACK]))
    return Names(published="localhost" if not wanted and loopback(every[0]) else every[0], every=every)


def machine_names() -> list[str]:
    """Return `<machine>.local` and the machine's own name, so far as they can stand in a certificate."""
    machine = socket.gethostname().lower()
    found = []
    for name in (f"{machine.partition('.')[0]}.local", machine):
        with suppress(TlsFault):
            found.append(clean(name))
    return [name for name in found if name not in ("localhost", "localhost.local")]


def own_addresses() -> list[str]:
    """Return the IPv4 addresses of this machine in its networks, that of the way out first."""
    found = []
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # sends nothing; the kernel picks the address it would send from (RFC 5737)
        found.append(probe.getsockname()[0])
    with suppress(OSError):
        found += [str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return [one for one in dict.fromkeys(found) if not loopback(one) and one not in EVERYWHERE]


def origin(scheme: str, name: str, port: int) -> str:
    """Return scheme, host and port as a browser knows a site by them."""
    host = f"[{name}]" if ":" in name else name
    usual = {"http": 80, "https": 443}[scheme]
    return f"{scheme}://{host}" if port == usual else f"{scheme}://{host}:{port}"


def loopback(name: str) -> bool:
    """Tell whether a name or address leads to the computer itself."""
    number = address(name)
    return name == "localhost" or (number is not None and number.is_loopback)
