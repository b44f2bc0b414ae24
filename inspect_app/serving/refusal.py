"""What the shell itself answers: the one JSON shape, one sentence, and the last word on its connection."""

import json
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass
from typing import Any

from inspect_app.words import gettext as _

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A complete answer: HTTP status, header lines in order, body."""

    status: int
    headers: tuple[tuple[str, str], ...]
    body: bytes = b""

    def header(self, name: str) -> str | None:
        """Return the first value of a header, whatever its capitals, or None."""
        return next((value for key, value in self.headers if key.lower() == name.lower()), None)


class Refusal(Exception):
    """A request the shell turns down by itself: `status`, a short `code`, one sentence in English with its values."""

    def __init__(self, status: int, code: str, message: str, **values: object) -> None:
        super().__init__(message % values if values else message)
        self.status = status
        self.code = code
        self.message = message
        self.values = values

    def answer(self) -> Answer:
        """Return the refusal as an answer, in the language now spoken."""
        return failure(self.status, self.code, _(self.message, **self.values))


class Gone(Exception):
    """The client hung up before its request was complete."""


def failure(status: int, code: str, message: str) -> Answer:
    """Return an error answer in the one JSON shape: `{"error": {"code", "message", "field"}}`."""
    error = {"code": code, "message": message, "field": None}
    headers = (("content-type", "application/json"), ("cache-control", "no-store"))
    return Answer(status=status, headers=headers, body=json.dumps({"error": error}).encode())


def broken() -> Answer:
    """Return the answer for a fault of ours; what happened is in the log."""
    message = _("The server made a mistake with this request; try once more, and tell whoever looks after it.")
    return failure(500, "server_fault", message)
