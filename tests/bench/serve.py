"""The real server as a process of its own, with the floors beside the application's routes: `python -m tests.bench.serve DIR`.

With `cleaned` after it photos are not cleaned but answered from one that was, for the claim that leaves cleaning out.
"""

from __future__ import annotations

import http.client
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

from flask import Blueprint, Flask, jsonify, request
from flask.typing import ResponseReturnValue

from inspect_app.photos import Cleaned, clean
from tests.bench.floors import Counter

ROOT = Path(__file__).resolve().parents[2]
MARK = 16  # bytes at the end of a photo that tell it from the others of the bench


def main(folder: Path, *flags: str) -> int:
    """Serve until terminated; the port is told on the standard output."""
    from inspect_app import create_app
    from inspect_app.serving import serve

    app = create_app(folder)
    app.register_blueprint(routes(app, folder))
    house = app.extensions["lampwalk"]
    if "cleaned" in flags:
        from inspect_app.rooms.sync import pictures

        pictures.clean = Remembered()  # type: ignore[attr-defined, assignment]
    try:
        return serve(app.wsgi_app, "127.0.0.1", 0, data_dir=folder, on_start=house.open, ready=_tell)
    finally:
        house.close()


def _tell(port: int) -> None:
    print(port, flush=True)


def routes(app: Flask, folder: Path) -> Blueprint:
    """The floors. They pass the same doors as any route of the application."""
    room, counter = Blueprint("bench", __name__), Counter(folder / "floor.db")
    floor = folder / "floor"
    floor.mkdir(exist_ok=True)

    @room.post("/bench/one")
    def one() -> ResponseReturnValue:
        counter.one(request.get_data(as_text=True))
        return jsonify(ok=True)

    @room.post("/bench/many")
    def many() -> ResponseReturnValue:
        counter.many(request.get_json()["events"])
        return jsonify(ok=True)

    @room.put("/bench/photos/<key>")
    def photo(key: str) -> ResponseReturnValue:
        with (floor / key).open("xb") as file:
            file.write(request.stream.read())
            file.flush()
            os.fsync(file.fileno())
        counter.one(key)
        return jsonify(ok=True)

    @room.post("/bench/sheets/<unit>")
    def sheets(unit: str) -> ResponseReturnValue:
        from tests.bench.sheets import make_two

        make_two(app.extensions["lampwalk"].press, unit)
        return jsonify(ok=True)

    return room


class Remembered:
    """Cleans the first photo and gives that for every other, each with its own last bytes, so that each is kept."""

    def __init__(self) -> None:
        self._first: Cleaned | None = None

    def __call__(self, data: bytes) -> Cleaned:
        """Return the cleaned photo."""
        first = self._first = self._first or clean(data)
        mark = data[-MARK:]
        return replace(first, full=first.full + mark, middle=first.middle + mark, thumb=first.thumb + mark)


@dataclass(frozen=True, kw_only=True)
class Served:
    """A server that runs: where, and as which process."""

    port: int
    process: int

    def memory(self) -> float:
        """Megabytes of a million bytes that the process has in memory now (Linux)."""
        status = Path(f"/proc/{self.process}/status").read_text("ascii")
        return next(int(line.split()[1]) * 1024 / 1e6 for line in status.splitlines() if line.startswith("VmRSS:"))


@contextmanager
def server(folder: Path) -> Iterator[int]:
    """Run the server on a folder; yield its port."""
    with served(folder) as one:
        yield one.port


@contextmanager
def served(folder: Path, *flags: str) -> Iterator[Served]:
    """Run the server on a folder; yield where and what it is."""
    command = [sys.executable, "-W", "ignore", "-m", "tests.bench.serve", str(folder), *flags]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    try:
        told = process.stdout.readline() if process.stdout else ""
        if not told.strip().isdecimal():
            raise RuntimeError("the server did not start")
        yield Served(port=int(told), process=process.pid)
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

    def put(self, path: str, picture: bytes) -> bytes:
        """Send a photo and read the answer, which must be a good one."""
        return self._ask("PUT", path, picture, {"Content-Type": "image/jpeg"})

    def get(self, path: str) -> bytes:
        """Read an answer, which must be a good one."""
        return self._ask("GET", path, None)

    def _ask(self, method: str, path: str, content: bytes | None, more: Mapping[str, str] | None = None) -> bytes:
        self._http.request(method, path, content, {**self._headers, **(more or {})})
        answer = self._http.getresponse()
        read = answer.read()
        if answer.status != 200:
            raise RuntimeError(f"{method} {path}: {answer.status} {read[:300]!r}")
        return read

    def close(self) -> None:
        """Hang up."""
        self._http.close()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), *sys.argv[2:]))
