"""Answers in text are sent compressed: a walk has to open over a bad radio link."""

from __future__ import annotations

import gzip
from functools import lru_cache

from flask import Flask, Response, request

LEAST = 1_000  # bytes; below that the header costs more than it saves
TEXTS = ("text/", "application/json", "image/svg+xml", "application/javascript", "application/manifest+json")


def attach(app: Flask) -> None:
    """Compress what is worth it, for whoever can read it."""
    app.after_request(_squeeze)


def _squeeze(response: Response) -> Response:
    if not (response.mimetype or "").startswith(TEXTS) or "gzip" not in request.headers.get("Accept-Encoding", ""):
        return response
    if response.status_code != 200 or response.headers.get("Content-Encoding") or "X-Lampwalk-File" in response.headers:
        return response
    response.direct_passthrough = False
    body = response.get_data()
    if len(body) < LEAST:
        return response
    etag, _ = response.get_etag()
    response.set_data(_gzip_kept(etag, body) if etag else gzip.compress(body, 6, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    response.vary.add("Accept-Encoding")
    if etag:
        response.set_etag(etag, weak=True)
    return response


@lru_cache(maxsize=256)
def _gzip_kept(_etag: str, body: bytes) -> bytes:
    return gzip.compress(body, 9, mtime=0)
