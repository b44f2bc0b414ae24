"""Photos that come all at once have some of the threads; the others are left to markers."""

import asyncio
import threading

from inspect_app.serving import Limits, wrap

AT_ONCE = 20  # more than there are threads


class Darkroom:
    """A WSGI application that keeps every photo in hand until it is let go, and answers all else at once."""

    def __init__(self):
        self.let_go = threading.Event()
        self.in_hand = self.most = 0
        self.count = threading.Lock()

    def __call__(self, environ, start_response):
        if environ["REQUEST_METHOD"] == "PUT":
            with self.count:
                self.in_hand += 1
                self.most = max(self.most, self.in_hand)
            self.let_go.wait()
            with self.count:
                self.in_hand -= 1
        start_response("200 OK", [("Content-Type", "text/plain")])
        return [b"taken"]


async def asked(shell, method, path, body=b""):
    """Ask the shell as uvicorn would; the status of its answer."""
    told = []

    async def receive():
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message):
        told.append(message)

    headers = [(b"content-length", str(len(body)).encode())] if body else []
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "scheme": "http", "path": path,
        "raw_path": path.encode(), "query_string": b"", "root_path": "", "headers": headers,
        "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 2),
    }  # fmt: skip
    await shell(scope, receive, send)
    return next(message["status"] for message in told if message["type"] == "http.response.start")


def test_markers_are_taken_while_more_photos_than_threads_are_in_hand():
    room, limits = Darkroom(), Limits()
    shell = wrap(room, limits=limits)

    async def crowd():
        photos = [asyncio.create_task(asked(shell, "PUT", f"/photos/{n}", b"picture")) for n in range(AT_ONCE)]
        while room.in_hand < limits.photo_threads:
            await asyncio.sleep(0.01)
        markers = [await asyncio.wait_for(asked(shell, "POST", "/sync", b"{}"), timeout=60) for _ in range(10)]
        in_hand = room.in_hand
        room.let_go.set()
        return markers, in_hand, await asyncio.gather(*photos)

    try:
        markers, in_hand, photos = asyncio.run(crowd())
    finally:
        room.let_go.set()
        shell.stop()

    assert (markers, in_hand) == ([200] * 10, limits.photo_threads)
    assert (photos, room.most) == ([200] * AT_ONCE, limits.photo_threads)


def test_a_photo_that_is_looked_at_waits_for_none_that_comes():
    room, limits = Darkroom(), Limits()
    shell = wrap(room, limits=limits)

    async def crowd():
        photos = [asyncio.create_task(asked(shell, "PUT", f"/photos/{n}", b"picture")) for n in range(AT_ONCE)]
        while room.in_hand < limits.photo_threads:
            await asyncio.sleep(0.01)
        seen = await asyncio.wait_for(asked(shell, "GET", "/photos/7"), timeout=60)
        room.let_go.set()
        await asyncio.gather(*photos)
        return seen

    try:
        assert asyncio.run(crowd()) == 200
    finally:
        room.let_go.set()
        shell.stop()
