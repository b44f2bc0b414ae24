"""Someone at a desk: opens a page, fills in its form, sends it, reads what came back."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from html.parser import HTMLParser

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


class _Form(HTMLParser):
    """What the fields of a page hold, as a browser would send them; a button is sent by nobody but whoever presses it."""

    def __init__(self, page: str):
        super().__init__()
        self.held: dict[str, list[str]] = {}
        self.name = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        name, value = told.get("name") or "", told.get("value") or ""
        if tag == "input" and name and told.get("type") != "submit":
            if told.get("type") not in ("checkbox", "radio") or "checked" in told:
                self.held.setdefault(name, []).append(value)
        elif tag in ("select", "textarea"):
            self.name = name
            self.held[name] = [""]
        elif tag == "option" and "selected" in told:
            self.held[self.name] = [value]

    def handle_data(self, data: str) -> None:
        if self.lasttag == "textarea" and self.name:
            self.held[self.name][0] += data

    def handle_endtag(self, tag: str) -> None:
        if tag in ("select", "textarea"):
            self.name = ""


def stands(answer) -> dict[str, list[str]]:
    """What the fields of a page hold, by name: what a press on its button sends with nothing typed over."""
    held = _Form(answer.text).held
    return {name: [one.strip() for one in values] for name, values in held.items()}


Desks = Callable[[str], Desk]
