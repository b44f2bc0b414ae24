"""Someone at a desk: opens a page, fills in its form, sends it, reads what came back."""

from __future__ import annotations

import html
import re
from collections.abc import Callable

from flask.testing import FlaskClient


class Desk:
    """A signed-in person with pages instead of JSON."""

    def __init__(self, client: FlaskClient):
        client.environ_base.pop("HTTP_X_LAMPWALK", None)
        client.environ_base["HTTP_ACCEPT"] = "text/html"
        self.client = client

    def get(self, path: str):
        return self.client.get(path)

    def words(self, path: str) -> str:
        """The page as read aloud: no tags, no doubled blanks."""
        return said(self.get(path))

    def send(self, path: str, *, page: str | None = None, **fields):
        """Send a form with the token of the page it stands on."""
        token = re.search(r'name="csrf_token"[^>]* value="([^"]+)"', self.get(page or path).text)
        assert token, f"no form on {page or path}"
        fields = {name.rstrip("_"): value for name, value in fields.items()}
        return self.client.post(path, data={"csrf_token": token[1], **fields})


def said(answer) -> str:
    """What a page says."""
    body = re.sub(r"<(script|style)\b.*?</\1>", " ", answer.text, flags=re.S)
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body)))


def fault_beside(answer, field: str) -> str:
    """The fault that stands beside a field."""
    found = re.search(rf'<p class="fault" id="{field}-fault\d*">(.*?)</p>', answer.text)
    assert found, f"no fault beside {field}"
    return html.unescape(found[1])


Desks = Callable[[str], Desk]
