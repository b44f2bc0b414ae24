"""The command `lampwalk serve`: plain http, or https with a certificate of our own or one that is brought along."""

from __future__ import annotations

import argparse
import io
import logging
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from flask import Flask

if TYPE_CHECKING:
    from inspect_app.serving import Page
    from inspect_app.serving.tls import Authority, BroughtCertificate, LocalCertificate

log = logging.getLogger("lampwalk.serving")


def describe(parser: argparse.ArgumentParser) -> None:
    """Give a parser the options of the command."""
    add = parser.add_argument
    add("--data", type=Path, required=True, metavar="DIR", help="the data folder; made when it is not there")
    add("--host", default="127.0.0.1", metavar="H", help="address to listen on (default 127.0.0.1)")
    add("--port", type=int, default=8440, metavar="N", help="port to listen on (default 8440; 0 takes a free one)")
    add("--tls", action="store_true", help="speak https, with a certificate by an authority of the plant's own")
    add(
        "--name", action="append", metavar="HOST",
        help="with --tls: the name tablets use; given again, further names; kept for the next start",
    )  # fmt: skip
    add(
        "--http-port", type=int, metavar="N",
        help="with --tls: port of the page that hands tablets the certificate (usually the one after --port)",
    )  # fmt: skip
    add("--cert", type=Path, metavar="FILE", help="speak https with this certificate (PEM), instead of one of our own")
    add("--code", action="store_true", help="print a one-time code that admits a tablet, good for ten minutes")
    add("--key", type=Path, metavar="FILE", help="the private key of --cert (PEM), for its owner only")


def run(asked: argparse.Namespace) -> int:
    """Serve until stopped; the exit code."""
    problem = misfit(asked)
    if problem:
        print(problem, file=sys.stderr)
        return 2
    from inspect_app import create_app

    app = create_app(asked.data)
    if asked.code:
        _print_code(app)
    try:
        return _serve_tls(asked, app) if asked.tls or asked.cert else _serve_plain(asked, app)
    finally:
        app.extensions["lampwalk"].close()


def _print_code(app: Flask) -> None:
    """Let someone in when no admitted tablet is left at which a manager could make a code."""
    from inspect_app.rooms.people.codes import codes

    made = codes(app).make(name="", by=None, now=app.extensions["lampwalk"].journal.clock())
    print(f"To admit a tablet, open /admit on it within ten minutes and enter {made.spaced}", flush=True)


def misfit(asked: argparse.Namespace) -> str | None:
    """Say which options do not go together, or nothing."""
    if (asked.cert is None) != (asked.key is None):
        return "'--cert' and '--key' go together; give both files."
    if asked.http_port is not None and (asked.cert or not asked.tls):
        return "'--http-port' hands out a certificate of our own; give it with --tls alone, or leave it out."
    if asked.name and not (asked.tls or asked.cert):
        return "'--name' stands in a certificate; give --tls as well, or leave it out."
    return None


@dataclass(frozen=True, kw_only=True)
class Secured:
    """How the server speaks https: its certificate, the name it goes by, and its authority when that is our own."""

    credentials: LocalCertificate | BroughtCertificate
    published: str
    authority: Authority | None = None
    reach: str = ""  # an address that needs no service of names; "here" for the loopback, "" when none is known


def _serve_plain(asked: argparse.Namespace, app: Flask) -> int:
    from inspect_app.rooms.tongue import of_cookies
    from inspect_app.serving import serve

    def ready(port: int) -> None:
        _same_address(asked, f"http://{asked.host}:{port}")
        print(f"Lampwalk serves {asked.data} at http://{asked.host}:{port}", flush=True)

    house = app.extensions["lampwalk"]
    return serve(
        app.wsgi_app, asked.host, asked.port, data_dir=asked.data, on_start=house.open, ready=ready,
        tongue=of_cookies(app),
    )  # fmt: skip


def _serve_tls(asked: argparse.Namespace, app: Flask) -> int:
    from inspect_app.rooms.tongue import of_cookies
    from inspect_app.serving import Leaflet, serve
    from inspect_app.serving.tls import TlsFault, origin

    try:
        secured = brought(asked) if asked.cert else own(asked)
    except TlsFault as fault:
        print(fault, file=sys.stderr)
        return 1
    house = app.extensions["lampwalk"]
    told: dict[str, str] = {}

    def make(port: int, http_port: int) -> Mapping[str, Page]:
        told["page"] = origin("http", secured.published, http_port)
        return _offer(app, secured, origin("https", secured.published, port), told["page"])

    def ready(port: int) -> None:
        address = origin("https", secured.published, port)
        if secured.authority is None:
            _offer(app, secured, address, "")
        _same_address(asked, address)
        _tell(asked, secured, address, told.get("page", ""))

    leaflet = Leaflet(port=_http_port(asked), make=make) if secured.authority else None
    return serve(
        app.wsgi_app, asked.host, asked.port, data_dir=asked.data, on_start=house.open, ready=ready,
        tls=secured.credentials, leaflet=leaflet, tongue=of_cookies(app),
    )  # fmt: skip


def own(asked: argparse.Namespace) -> Secured:
    """Return a certificate of the plant's own authority, for the names asked for now or at an earlier start."""
    from inspect_app.serving.tls import LocalCertificate, names_for
    from inspect_app.serving.tls.files import write_private
    from inspect_app.serving.tls.names import loopback

    folder = asked.data / "tls"
    kept = folder / "names"
    before = kept.read_text("utf-8").split() if kept.exists() else []
    names = names_for(asked.host, asked.name or before)
    local = LocalCertificate(folder, names)
    if asked.name:
        write_private(kept, "\n".join(asked.name).encode())
    reach = "here" if loopback(asked.host) else names.number or ""
    return Secured(credentials=local, published=names.published, authority=local.authority, reach=reach)


def brought(asked: argparse.Namespace) -> Secured:
    """Return the certificate that was brought along, under the first name asked for, or else its own first."""
    from inspect_app.serving.tls import BroughtCertificate, TlsFault, clean
    from inspect_app.serving.tls.brought import first_host_name

    found = BroughtCertificate(asked.cert, asked.key)
    for name in map(clean, asked.name or ()):
        if not found.covers(name):
            raise TlsFault(
                f"The certificate in {asked.cert} is not for '{name}'; it is for {', '.join(found.all_names)}."
            )
    published = clean(asked.name[0]) if asked.name else first_host_name(found.names)
    if published is None:
        raise TlsFault(f"The certificate in {asked.cert} has no whole name; say by --name which one tablets use.")
    return Secured(credentials=found, published=published)


def _http_port(asked: argparse.Namespace) -> int:
    if asked.http_port is not None:
        return int(asked.http_port)
    usual = {0: 0, 443: 80, 65535: 65534}
    return usual.get(asked.port, int(asked.port) + 1)


def _offer(app: Flask, secured: Secured, address: str, page: str) -> Mapping[str, Page]:
    from inspect_app.rooms.setup.handout import Handout, offer
    from inspect_app.serving import Page

    ends: Callable[[], object] = lambda: secured.credentials.until  # noqa: E731  asked anew each time: it is renewed
    authority = secured.authority
    more = (
        {"name": authority.name, "fingerprint": authority.fingerprint, "der": authority.der,
         "authority_ends": authority.until}
        if authority else {}
    )  # fmt: skip
    pages = offer(app, Handout(address=address, page=page, ends=ends, **more))  # type: ignore[arg-type]
    return {path: Page(content_type=kind, body=body) for path, (kind, body) in pages.items()}


def _same_address(asked: argparse.Namespace, address: str) -> None:
    """Warn when the address is another than at the last start: to a browser that is another, empty store."""
    if asked.port == 0:
        return  # for trying out: any free port, another each time
    kept = asked.data / "origin"
    before = kept.read_text("utf-8").strip() if kept.exists() else address
    if before != address:
        print(
            f"The address was {before} at the last start and is {address} now. To a browser that is another site with "
            "an empty store: what tablets keep unsent under the old address stays there until it is served again.",
            file=sys.stderr,
        )
    kept.write_text(f"{address}\n", "utf-8")


def _tell(asked: argparse.Namespace, secured: Secured, address: str, page: str) -> None:
    print(f"Lampwalk serves {asked.data} at {address}")
    if secured.reach == "here":
        print("Only this computer reaches it; to let tablets in, listen on an address of the network by --host.")
    if secured.authority is not None:
        print(f"Each tablet fetches the certificate once, at {page}")
        if secured.reach not in ("here", secured.published):
            print(f"(should the name not be found: {page.replace(secured.published, secured.reach)})")
        print(f"and compares its fingerprint (SHA-256): {secured.authority.fingerprint}")
        if sys.stdout.isatty():
            _draw_code(page)
    sys.stdout.flush()


def _draw_code(address: str) -> None:
    import segno

    made, drawn = segno.make_qr(address, error="l"), io.StringIO()
    if os.name == "nt":
        made.terminal()  # colours the console by itself, also an old one
        return
    made.terminal(drawn, compact=True)
    try:
        drawn.getvalue().encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return
    for line in drawn.getvalue().splitlines():
        print(f"\x1b[97;40m{line}\x1b[0m")  # white on black, or a terminal with a light ground would turn it inside out
