"""Send a finished answer at the client's own pace; no thread waits for it."""

import asyncio

from inspect_app.serving.limits import Limits
from inspect_app.serving.refusal import Answer, Receive, Scope, Send

# RFC 9110, 7.6.1: these speak about one connection, which is the server's affair and not the application's. The date is
# put on by the server, and must not come twice; the header that hands over a file is for us alone.
FILE_HEADER = "x-lampwalk-file"
NOT_THE_APPLICATIONS = frozenset({
    "connection", "keep-alive", "proxy-connection", "te", "transfer-encoding", "upgrade", "date", FILE_HEADER,
})  # fmt: skip


def bodyless(method: str, status: int) -> bool:
    """Tell whether an answer must come without a body (RFC 9110, 6.4.1)."""
    return method == "HEAD" or status in (204, 304) or status < 200


def header_lines(answer: Answer, *, drop: frozenset[str] = frozenset()) -> list[tuple[bytes, bytes]]:
    """Return an answer's headers as ASGI wants them, without those not its own and those in `drop` (lower case)."""
    unwanted = NOT_THE_APPLICATIONS | drop
    return [
        (name.strip().lower().encode("latin-1"), value.strip().encode("latin-1"))
        for name, value in answer.headers
        if name.strip().lower() not in unwanted
    ]


async def send_answer(scope: Scope, send: Send, answer: Answer, limits: Limits) -> None:
    """Send a buffered answer, in pieces so that the server's own write buffer stays small."""
    if bodyless(scope["method"], answer.status):
        # HEAD keeps the length the application states for GET; 204 must have none, 304 needs none (RFC 9110, 8.6).
        keep_length = scope["method"] == "HEAD" and answer.status not in (204, 304)
        drop = frozenset() if keep_length else frozenset({"content-length"})
        await send({"type": "http.response.start", "status": answer.status, "headers": header_lines(answer, drop=drop)})
        await send({"type": "http.response.body", "body": b""})
        return
    headers = header_lines(answer, drop=frozenset({"content-length"}))
    headers.append((b"content-length", str(len(answer.body)).encode()))
    await send({"type": "http.response.start", "status": answer.status, "headers": headers})
    await send_pieces(send, answer.body, limits.piece_bytes)


async def send_pieces(send: Send, body: bytes, size: int) -> None:
    """Send a body in pieces of `size` bytes."""
    view = memoryview(body)
    for start in range(0, len(body) - size, size):
        await send({"type": "http.response.body", "body": bytes(view[start : start + size]), "more_body": True})
    rest = max(0, (len(body) - 1) // size * size)
    await send({"type": "http.response.body", "body": bytes(view[rest:]) if rest else body})


async def send_refusal(scope: Scope, receive: Receive, send: Send, answer: Answer, limits: Limits) -> None:
    """Send a refusal, then read on for a while before hanging up.

    Closing at once with unread bytes resets the connection, and a client busy sending may then never see the answer.
    """
    headers = [*header_lines(answer), (b"content-length", str(len(answer.body)).encode()), (b"connection", b"close")]
    await send({"type": "http.response.start", "status": answer.status, "headers": headers})
    body = b"" if scope["method"] == "HEAD" else answer.body
    await send({"type": "http.response.body", "body": body, "more_body": True})
    if answer.status == 413:
        await _read_on(receive, limits)
    await send({"type": "http.response.body", "body": b""})


async def _read_on(receive: Receive, limits: Limits) -> None:
    read = 0
    try:
        async with asyncio.timeout(limits.linger_s):
            while read < limits.linger_bytes:
                message = await receive()
                read += len(message.get("body", b""))
                if message["type"] == "http.disconnect" or not message.get("more_body", False):
                    return
    except TimeoutError:
        return
