"""A few fixed pages on a plain http port: what a tablet needs before it can trust the https one. Nothing else."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import uvicorn

from inspect_app.serving.limits import KB, Limits
from inspect_app.serving.protocol import guarded
from inspect_app.serving.refusal import Receive, Refusal, Scope, Send
from inspect_app.words import N_

# Everything is open to anyone in the network and costs nothing to make: few connections and small requests will do.
LIMITS = Limits(connections=60, head_bytes=16 * KB, keep_alive_s=5)

NOT_HERE = Refusal(404, "not_found", N_("Only the certificate is handed out here; go back to the first page."))
ONLY_READ = Refusal(405, "only_read", N_("This address is for reading only."))
SECURITY = (
    (b"content-security-policy", b"default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none'; "
     b"form-action 'none'; frame-ancestors 'none'"),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cache-control", b"no-store"),
    (b"connection", b"close"),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Page:
    """One thing handed out."""

    content_type: str
    body: bytes


@dataclass(frozen=True, kw_only=True)
class Leaflet:
    """Where to hand out, and what: `make(https port, http port)` returns pages by their path, once both are known."""

    port: int
    make: Callable[[int, int], Mapping[str, Page]]


class HandOut:
    """The ASGI application: GET and HEAD of the pages it was given; no cookies, no redirects, no HSTS."""

    def __init__(self, pages: Mapping[str, Page]) -> None:
        self._pages = pages

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request; its body, if there is any, is never read."""
        page = self._pages.get(scope["path"])
        if scope["method"] not in ("GET", "HEAD"):
            await _send(send, scope, 405, _refused(ONLY_READ), extra=((b"allow", b"GET, HEAD"),))
        elif page is None:
            await _send(send, scope, 404, _refused(NOT_HERE))
        else:
            await _send(send, scope, 200, page)


def hand_out_config(pages: Mapping[str, Page]) -> uvicorn.Config:
    """Return uvicorn's settings for the connections of a leaflet; every answer ends its connection."""
    config = uvicorn.Config(
        HandOut(pages), http=guarded(LIMITS), ws="none", loop="asyncio", interface="asgi3", lifespan="off",
        log_config=None, log_level="warning", access_log=False, proxy_headers=False, server_header=False,
    )  # fmt: skip
    config.load()
    return config


def _refused(refusal: Refusal) -> Page:
    return Page(content_type="application/json", body=refusal.answer().body)


async def _send(send: Send, scope: Scope, status: int, page: Page, extra: tuple[tuple[bytes, bytes], ...] = ()) -> None:
    headers = [
        (b"content-type", page.content_type.encode()), (b"content-length", str(len(page.body)).encode()),
        *SECURITY, *extra,
    ]  # fmt: skip
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else page.body})
