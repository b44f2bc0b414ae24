"""Measure uvicorn against granian under the same shell, the same over TLS, and a2wsgi without a shell; print ratios.

`python tests/bench/servers.py` takes about three minutes, on 127.0.0.1 only. docs/serving.md holds a result and what
follows from it.
"""

import asyncio
import os
import ssl
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[1] / "serving"))
from hostile import (  # noqa: E402  found by the line above
    Line,
    bare,
    free_port,
    half_a_hello,
    hang_ups,
    never_reading,
    silent,
    stalled_upload,
)
from tiny_app import make_app  # noqa: E402

from inspect_app.serving import Limits, wrap  # noqa: E402
from inspect_app.serving.tls import LocalCertificate, names_for  # noqa: E402

ROUNDS = 5
SECONDS = 2.0
CONNECTIONS = 8
DEADLINE_S = 2
LIMITS = Limits(head_s=DEADLINE_S, body_idle_s=DEADLINE_S, write_idle_s=DEADLINE_S)
PATIENT = Limits()
UVICORN, GRANIAN, BARE = "uvicorn + shell", "granian + shell", "uvicorn + a2wsgi alone"
HTTPS = "uvicorn + shell, https"
REQUEST = b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"


def uvicorn_main(name: str, port: int, limits: Limits, folder: Path) -> None:
    """Run uvicorn in this process."""
    if name != BARE:
        from inspect_app.serving import serve

        tls = LocalCertificate(folder, names_for("127.0.0.1")) if name == HTTPS else None
        sys.exit(serve(make_app(folder), "127.0.0.1", port, data_dir=folder, limits=limits, tls=tls))
    import uvicorn
    from a2wsgi import WSGIMiddleware

    app = WSGIMiddleware(make_app(folder), workers=limits.threads)
    uvicorn.run(app, host="127.0.0.1", port=port, loop="asyncio", http="httptools", log_config=None, access_log=False)


def granian_main(port: int, limits: Limits, folder: Path) -> None:
    """Run granian with one worker and asyncio's loop, as uvicorn has."""
    from granian import Granian
    from granian.constants import HTTPModes, Interfaces, Loops
    from granian.http import HTTP1Settings

    head = HTTP1Settings(header_read_timeout=int(limits.head_s * 1000))
    server = Granian(
        "shell", address="127.0.0.1", port=port, interface=Interfaces.ASGI, workers=1, loop=Loops.asyncio,
        http=HTTPModes.http1, websockets=False, http1_settings=head, log_enabled=False, workers_kill_timeout=5,
    )  # fmt: skip
    server.serve(target_loader=lambda _target: wrap(make_app(folder), limits=limits, data_dir=folder))


@contextmanager
def server(name: str, *, patient: bool) -> Iterator[Line]:
    """Run one of the contenders as a process of its own; yield the way to it."""
    port, folder = free_port(), Path(tempfile.mkdtemp())
    command = [sys.executable, str(HERE), name, str(port), "patient" if patient else "short", str(folder)]
    process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    try:
        yield _until_up(port, folder if name == HTTPS else None)
    finally:
        process.terminate()
        with suppress(subprocess.TimeoutExpired):
            process.wait(15)
        process.kill()
        process.wait()


def _until_up(port: int, folder: Path | None) -> Line:
    for _ in range(200):
        with suppress(OSError, TimeoutError):
            context = ssl.create_default_context(cafile=folder / "authority.pem") if folder else None
            line = Line(port=port, context=context)
            asyncio.run(timed(line))
            return line
        time.sleep(0.1)
    raise RuntimeError("the server did not start")


async def _open(line: Line) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
    name = "localhost" if line.context else None
    return await asyncio.open_connection("127.0.0.1", line.port, ssl=line.context, server_hostname=name)


async def timed(line: Line, patience: float = 10.0) -> float:
    """Return the seconds one ordinary request takes on a connection of its own, with its handshake."""
    start = time.perf_counter()
    async with asyncio.timeout(patience):
        reader, writer = await _open(line)
        try:
            writer.write(REQUEST)
            await reader.readuntil(b"hello")
        finally:
            writer.close()
    return time.perf_counter() - start


async def throughput(line: Line) -> float:
    """Return trivial requests per second over a few kept connections."""
    end = time.perf_counter() + SECONDS

    async def one_client() -> int:
        reader, writer = await _open(line)
        done = 0
        while time.perf_counter() < end:
            writer.write(REQUEST)
            await reader.readuntil(b"hello")
            done += 1
        writer.close()
        return done

    return sum(await asyncio.gather(*(one_client() for _ in range(CONNECTIONS)))) / SECONDS


async def latencies(line: Line, count: int = 200) -> list[float]:
    """Return the seconds of requests made one after the other; infinity once one is not answered in ten seconds."""
    times: list[float] = []
    for _ in range(count):
        try:
            times.append(await timed(line))
        except (TimeoutError, OSError, asyncio.IncompleteReadError):
            return [*times, float("inf")]
    return times


def p95(times: list[float]) -> float:
    """Return the 95th percentile."""
    return sorted(times)[int(len(times) * 0.95)] if times[-1] != float("inf") else float("inf")


def siege(line: Line, stack: ExitStack) -> dict[str, list]:
    """Open sixty stalled uploads, twenty silent sockets and twenty clients that never read; over TLS forty more."""
    crowd = {
        "stalled uploads": [stalled_upload(line) for _ in range(60)],
        "silent sockets": [silent(line) for _ in range(20)],
        "never reading": [never_reading(line) for _ in range(20)],
    }
    if line.context:
        crowd["no hello"] = [bare(line) for _ in range(20)]
        crowd["half a hello"] = [half_a_hello(line) for _ in range(20)]
    for sockets in crowd.values():
        for one in sockets:
            stack.callback(one.close)
    time.sleep(1)
    return crowd


def measure(name: str) -> dict[str, float]:
    """Measure one contender once."""
    with server(name, patient=True) as line, ExitStack() as stack:
        rate = asyncio.run(throughput(line))
        calm = asyncio.run(latencies(line))
        siege(line, stack)
        held = asyncio.run(latencies(line))
    return {"rate": rate, "calm": statistics.median(calm), "median": statistics.median(held), "p95": p95(held)}


def closed_in_the_end(name: str) -> dict[str, str]:
    """Say how many of each kind of stalled socket are closed within ten times the deadline."""
    with server(name, patient=False) as line, ExitStack() as stack:
        crowd = siege(line, stack)
        end = time.monotonic() + 10 * DEADLINE_S
        return {kind: f"{hang_ups(sockets, end)} of {len(sockets)}" for kind, sockets in crowd.items()}


def main() -> None:
    """Print the tables."""
    names = [UVICORN, HTTPS, GRANIAN]
    runs: dict[str, list[dict[str, float]]] = {name: [] for name in names}
    for number in range(ROUNDS):
        for name in names if number % 2 else names[::-1]:
            runs[name].append(measure(name))
    runs[BARE] = [measure(BARE)]
    middle = {name: {key: statistics.median(run[key] for run in of) for key in of[0]} for name, of in runs.items()}
    floor = middle[UVICORN]
    print("| server | requests/s | median alone | median besieged | p95 besieged |\n| --- | --- | --- | --- | --- |")
    for name, got in middle.items():
        cells = [got["rate"] / floor["rate"], *(got[key] / floor["calm"] for key in ("calm", "median", "p95"))]
        print(f"| {name} | " + " | ".join(f"{cell:.2f}" for cell in cells) + " |")
    print(f"(uvicorn + shell: {floor['rate']:.0f} requests/s, {floor['calm'] * 1000:.2f} ms; {os.cpu_count()} cores)\n")
    for name in names:
        print(f"{name}, closed within {10 * DEADLINE_S} s: {closed_in_the_end(name)}")


if __name__ == "__main__":
    if len(sys.argv) == 1:
        main()
    else:
        what, port, pace, place = sys.argv[1:]
        limits = PATIENT if pace == "patient" else LIMITS
        if what == GRANIAN:
            granian_main(int(port), limits, Path(place))
        else:
            uvicorn_main(what, int(port), limits, Path(place))
