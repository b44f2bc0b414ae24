"""The handout: how a tablet comes to trust the server. For managers in the setup, and for tablets on a plain http port.

What it tells is set at the start by whoever serves (`offer`), since only the server knows its certificate.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from importlib.resources import files

from flask import Flask, Response, current_app, render_template
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from inspect_app.journal.events import Refusal
from inspect_app.journal.speech import told
from inspect_app.rooms.doors import needs
from inspect_app.rooms.setup.door import room
from inspect_app.words import gettext as _
from inspect_app.words import written

CERTIFICATE = "lampwalk-ca.crt"
CERTIFICATE_TYPE = "application/x-x509-ca-cert"  # what iPads and Android take as an authority's certificate
STYLES = (
    "client/css/tokens.css", "client/css/base.css", "client/css/buttons.css", "client/css/lists.css",
    "rooms/setup/handout.css",
)  # fmt: skip
KEY = "lampwalk.handout"
LIGHT_BORDER = 4  # modules of quiet round a code (ISO/IEC 18004)


@dataclass(frozen=True, kw_only=True)
class Handout:
    """What tablets are told. Without a certificate of our own `page`, `name`, `fingerprint` and `der` are empty."""

    address: str
    ends: Callable[[], datetime]
    page: str = ""
    name: str = ""
    fingerprint: str = ""
    der: bytes = b""
    authority_ends: datetime | None = None

    @property
    def fingerprint_lines(self) -> list[str]:
        """The fingerprint in lines of eight pairs, to be compared by eye."""
        pairs = self.fingerprint.split(":")
        return [":".join(pairs[start : start + 8]) for start in range(0, len(pairs), 8)]

    @property
    def codes(self) -> dict[str, Markup]:
        """QR codes of the two addresses as SVG, dark on light in either theme."""
        return {"page": code(self.page, _("the page for tablets")), "address": code(self.address, "Lampwalk")}


def code(address: str, of: str) -> Markup:
    """Return a QR code of an address as SVG with a title, or nothing for no address."""
    if not address:
        return Markup()
    import segno

    made = segno.make_qr(address, error="m")
    text = made.svg_inline(
        border=LIGHT_BORDER, dark="#000", light="#fff", omitsize=True, title=_("QR code of %(what)s", what=of)
    )
    return Markup(text)  # noqa: S704  segno's own markup; it escapes the title


def offer(app: Flask, handout: Handout) -> Mapping[str, tuple[str, bytes]]:
    """Have the setup show a handout; return the pages of the plain http port, each type and bytes by its path."""
    app.extensions[KEY] = handout
    journal = app.extensions["lampwalk"].journal
    with journal.speech.spoken(journal.read()):  # nobody is known there: the plant's language
        page = app.jinja_env.get_template("setup/handout_plain.html").render(
            handout=handout, codes=handout.codes, fetch=f"/{CERTIFICATE}", plain=True,
            language=(told(journal.read()).language or "en").replace("_", "-"),
        )  # fmt: skip
    own = files("inspect_app")
    style = "\n".join(own.joinpath(place).read_text("utf-8") for place in STYLES)
    return {
        "/": ("text/html; charset=utf-8", page.encode()),
        "/handout.css": ("text/css; charset=utf-8", style.encode()),
        "/icon.svg": ("image/svg+xml", own.joinpath("client/icon.svg").read_bytes()),
        f"/{CERTIFICATE}": (CERTIFICATE_TYPE, handout.der),
    }


def offered() -> Handout | None:
    """The handout of the running server, or None when it speaks plain http."""
    found: Handout | None = current_app.extensions.get(KEY)
    return found


@room.get("/setup/certificate")
@needs("manager")
def certificate() -> ResponseReturnValue:
    """Show how tablets come to trust this server: address, fingerprint, the steps for each kind."""
    handout = offered()
    if handout is None:
        return render_template("setup/handout.html", handout=None)
    last = handout.authority_ends
    return render_template(
        "setup/handout.html", handout=handout, codes=handout.codes, fetch=f"/setup/certificate/{CERTIFICATE}",
        ends=written.day(handout.ends()), authority_ends=written.day(last) if last else "",
    )  # fmt: skip


@room.get(f"/setup/certificate/{CERTIFICATE}")
@needs("manager")
def certificate_file() -> ResponseReturnValue:
    """Hand out the certificate of the plant's own authority, to be carried to a tablet by other means."""
    handout = offered()
    if handout is None or not handout.der:
        raise Refusal(
            "no_authority", _("This server has no certificate of its own to hand out; start it with --tls."), 404
        )
    return Response(handout.der, mimetype=CERTIFICATE_TYPE)
