"""The real server as a process of its own, with the floors beside the application's routes: `python -m tests.bench.serve DIR`."""

from __future__ import annotations

import http.client
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from flask import Blueprint, Flask, jsonify, request
from flask.typing import ResponseReturnValue

from tests.bench.floors import Counter

ROOT = Path(__file__).resolve().parents[2]


def main(folder: Path) -> int:
    """Serve until terminated; the port is told on the standard output."""
    from inspect_app import create_app
    from inspect_app.serving import serve

    app = create_app(folder)
    app.register_blueprint(routes(app, folder))
    house = app.extensions["lampwalk"]
    try:
        return serve(app.wsgi_app, "127.0.0.1", 0, data_dir=folder, on_start=house.open, ready=_tell)
    finally:
        house.close()


def _tell(port: int) -> None:
    print(port, flush=True)


def routes(app: Flask, folder: Path) -> Blueprint:
    """The floors. They pass the same doors as any route of the application."""
    room, counter = Blueprint("bench", __name__), Counter(folder / "floor.db")

    @room.post("/bench/one")
    def one() -> ResponseReturnValue:
        counter.one(request.get_data(as_text=True))
        return jsonify(ok=True)

    @room.post("/bench/many")
    def many() -> ResponseReturnValue:
        counter.many(request.get_json()["events"])
        return jsonify(ok=True)

    @room.post("/bench/sheets/<unit>")
    def sheets(unit: str) -> ResponseReturnValue:
        from tests.bench.sheets import make_two

        make_two(app.extensions["lampwalk"].press, unit)
        return jsonify(ok=True)

    return room


@contextmanager
def server(folder: Path) -> Iterator[int]:
    """Run the server on a folder; yield its port."""
    command = [sys.executable, "-W", "ignore", "-m", "tests.bench.serve", str(folder)]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    try:
        told = process.stdout.readline() if process.stdout else ""
        if not told.strip().isdecimal():
            raise RuntimeError("the server did not start")
        yield int(told)
    finally:
        process.terminate()
        with suppress(subprocess.TimeoutExpired):
            process.wait(20)
        process.kill()
        process.wait()


class Line:
    """A connection that is kept, as a browser keeps it."""

    def __init__(self, port: int, headers: Mapping[str, str]):
        self._http = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self._http.connect()
        self._headers = dict(headers)

    def post(self, path: str, content: bytes) -> bytes:
        """Send a body and read the answer, which must be a good one."""
        return self._ask("POST", path, content)

    def get(self, path: str) -> bytes:
        """Read an answer, which must be a good one."""
        return self._ask("GET", path, None)

    def _ask(self, method: str, path: str, content: bytes | None) -> bytes:
        self._http.request(method, path, content, self._headers)
        answer = self._http.getresponse()
        read = answer.read()
        if answer.status != 200:
            raise RuntimeError(f"{method} {path}: {answer.status} {read[:300]!r}")
        return read

    def close(self) -> None:
        """Hang up."""
        self._http.close()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
