"""`lampwalk serve --code`: the code that is printed lets a tablet in, once, through the real server."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.error import HTTPError
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, Request, build_opener

import pytest
from command import Served

from inspect_app.journal import Journal
from inspect_app.journal.journal import PLANT
from sample_units.hands import Hands, admit, hire


@pytest.fixture
def by_code(tmp_path: Path) -> Iterator[Callable[..., Served]]:
    """Serve a plant whose tablets come in by a code alone, as where the manager's own is lost."""
    journal = Journal(tmp_path / "data")
    person = hire(journal, "Maud Esterházy", ("manager",))
    maud = Hands(journal, person, admit(journal), ("manager",), ())
    journal.record(maud.ticket, PLANT, "setting_changed", {"name": "admitting", "value": "code"})
    journal.close()
    started: list[Served] = []

    def serve(*options: str) -> Served:
        started.append(Served(tmp_path / "data", "--port", "0", *options))
        return started[-1]

    yield serve
    for one in started:
        one.close()


class Browser:
    """A tablet this server has never met: it keeps cookies and fills in the form."""

    def __init__(self, server: Served):
        self.server = server
        self.opener = build_opener(HTTPCookieProcessor(CookieJar()))

    def open(self, path: str, **fields: str) -> tuple[int, str, str]:
        """Status, the path it ended at, and the page."""
        headers = {"Origin": self.server.address, "Accept": "text/html"}
        data = urlencode(fields).encode() if fields else None
        request = Request(self.server.address + path, data, headers)
        try:
            answer = self.opener.open(request, timeout=60)
        except HTTPError as refused:
            answer = refused
        with answer:
            return answer.status, answer.url.removeprefix(self.server.address), answer.read().decode()

    def enter(self, code: str) -> tuple[int, str, str]:
        """Type a code on the page that asks for it."""
        token = re.search(r'name="csrf_token" value="([^"]+)"', self.open("/admit")[2])
        assert token
        return self.open("/admit", csrf_token=token[1], code=code)


def printed(server: Served) -> str:
    [line] = [line for line in server.said if "To admit a tablet" in line]
    return line.strip().rpartition("enter ")[2]


def test_the_printed_code_lets_one_tablet_in_and_no_second(by_code: Callable[..., Served]) -> None:
    server = by_code("--code")
    code = printed(server)
    assert re.fullmatch(r"[A-Z0-9]{4} [A-Z0-9]{4}", code)

    first, second = Browser(server), Browser(server)
    assert first.open("/sign-in")[1] == "/admit"
    status, path, page = first.enter(code.lower())
    assert (status, path) == (200, "/sign-in")
    assert "This is tablet" in page
    assert "Maud Esterházy" in page

    status, path, page = second.enter(code)
    assert (status, path) == (403, "/admit")
    assert "This code is not valid, or no longer; ask a manager for a new one." in page


def test_without_the_option_no_code_is_printed(by_code: Callable[..., Served]) -> None:
    assert "To admit" not in "".join(by_code().said)
