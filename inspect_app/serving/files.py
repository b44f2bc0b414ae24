"""Send a file the application has authorised, straight from disk and from no request thread.

A view answers 200 with the header `X-Lampwalk-File: <path relative to the data folder>` and an empty body; its type,
ETag, Cache-Control and other headers are kept. With any other status (a 304, say) nothing is sent from disk.
"""

import asyncio
import logging
import os
import stat
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import IO

from werkzeug.http import parse_if_range_header, parse_range_header, unquote_etag

from inspect_app.serving.intake import head
from inspect_app.serving.limits import Limits
from inspect_app.serving.outlet import FILE_HEADER, header_lines, send_answer
from inspect_app.serving.refusal import Answer, Receive, Scope, Send, broken, failure
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.serving")


class OutsideError(Exception):
    """The application named a file outside the data folder."""


@dataclass(frozen=True, kw_only=True)
class Span:
    """The bytes `start` up to, not including, `stop` of a file of `size` bytes."""

    start: int
    stop: int
    size: int


def find(data_dir: Path, relative: str) -> Path:
    """Return the regular file at a path in the data folder.

    Raises `OutsideError` when the path, with all links followed, leaves the folder, and `FileNotFoundError` when no
    file is there.
    """
    if not relative or "\0" in relative or "\\" in relative or relative.startswith("/"):
        raise OutsideError(relative)
    base = data_dir.resolve()
    path = (base / relative).resolve()
    if not path.is_relative_to(base):
        raise OutsideError(relative)
    if not path.is_file():
        raise FileNotFoundError(relative)
    return path


def span_for(scope: Scope, answer: Answer, size: int) -> Span | None:
    """Return the part of a file a request asks for (RFC 9110, 14.2), or None when it lies outside the file.

    Several ranges at once, or a stale If-Range, get the whole file.
    """
    whole = Span(start=0, stop=size, size=size)
    wanted = parse_range_header(head(scope, b"range") or None)
    if scope["method"] != "GET" or wanted is None or wanted.units != "bytes" or len(wanted.ranges) != 1:
        return whole
    condition = parse_if_range_header(head(scope, b"if-range") or None)
    if condition.date or (condition.etag and condition.etag != _strong_etag(answer)):
        return whole
    inside = wanted.range_for_length(size)
    return Span(start=inside[0], stop=inside[1], size=size) if inside else None


def _strong_etag(answer: Answer) -> str | None:
    etag, weak = unquote_etag(answer.header("etag"))
    return None if weak else etag


async def send_file(scope: Scope, receive: Receive, send: Send, answer: Answer, data_dir: Path, limits: Limits) -> None:
    """Send the file an answer hands over; 404 when it is missing, 500 when it may not be sent, both with a log line."""
    relative = answer.header(FILE_HEADER) or ""
    try:
        file = await asyncio.to_thread(_open, data_dir, relative)
    except FileNotFoundError:
        log.error("%r was handed over for %r but is not in the data folder", relative, scope["path"])
        await send_answer(scope, send, failure(404, "not_found", _("This file is not on the server any more.")), limits)
        return
    except (OutsideError, OSError) as fault:
        log.error("%r was handed over for %r and cannot be sent: %r", relative, scope["path"], fault)
        await send_answer(scope, send, broken(), limits)
        return
    with file:
        await _send_open_file(scope, receive, send, answer, file, limits)


def _open(data_dir: Path, relative: str) -> IO[bytes]:
    file = find(data_dir, relative).open("rb")
    if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
        file.close()
        raise OutsideError(relative)
    return file


async def _send_open_file(
    scope: Scope, receive: Receive, send: Send, answer: Answer, file: IO[bytes], limits: Limits
) -> None:
    size = os.fstat(file.fileno()).st_size
    span = span_for(scope, answer, size)
    if span is None:
        refusal = failure(416, "range_outside", _("The part asked for lies outside this file."))
        refusal = replace(refusal, headers=(*refusal.headers, ("content-range", f"bytes */{size}")))
        await send_answer(scope, send, refusal, limits)
        return
    status, headers = _start(answer, span)
    await send({"type": "http.response.start", "status": status, "headers": headers})
    if scope["method"] == "HEAD":
        await send({"type": "http.response.body", "body": b""})
        return
    await _stream(receive, send, file, span, limits.piece_bytes)


def _start(answer: Answer, span: Span) -> tuple[int, list[tuple[bytes, bytes]]]:
    headers = header_lines(answer, drop=frozenset({"content-length", "accept-ranges", "content-range"}))
    headers += [(b"content-length", str(span.stop - span.start).encode()), (b"accept-ranges", b"bytes")]
    if span.stop - span.start == span.size:
        return 200, headers
    return 206, [*headers, (b"content-range", f"bytes {span.start}-{span.stop - 1}/{span.size}".encode())]


async def _stream(receive: Receive, send: Send, file: IO[bytes], span: Span, piece: int) -> None:
    # The server swallows what is sent to a client that has gone, so somebody has to listen for the hang-up.
    gone = asyncio.create_task(_hung_up(receive))
    left = span.stop - span.start
    try:
        file.seek(span.start)
        while left and not gone.done():
            data = await asyncio.to_thread(file.read, min(piece, left))
            if not data:
                raise OSError("the file became shorter while it was being sent")
            left -= len(data)
            await send({"type": "http.response.body", "body": data, "more_body": left > 0})
        if span.start == span.stop:
            await send({"type": "http.response.body", "body": b""})
    finally:
        gone.cancel()
        with suppress(asyncio.CancelledError):
            await gone


async def _hung_up(receive: Receive) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass
