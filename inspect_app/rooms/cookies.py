"""Cookies by the way a request came: over https they are Secure and bound to this host, over plain http they cannot be.

The two ways have names of their own. A browser does not let plain http overwrite a Secure cookie of the same name, so a
tablet that had once come by https could never sign in by http again. Its store is another one there too, so it is
another tablet, with other letters.
"""

from __future__ import annotations

from flask import Flask, request
from flask.sessions import SecureCookieSessionInterface


def cookie_name(name: str) -> str:
    """What a cookie of ours is called in this request; the prefix makes browsers hold it to its host (RFC 6265bis)."""
    return f"__Host-{name}" if request.is_secure else name


class Sessions(SecureCookieSessionInterface):
    """Flask's signed sessions, with their cookie as safe as the request's scheme allows."""

    def get_cookie_name(self, app: Flask) -> str:
        """Name it by the scheme."""
        return cookie_name(super().get_cookie_name(app))

    def get_cookie_secure(self, app: Flask) -> bool:
        """Keep it from plain http when it was given over https."""
        return request.is_secure
