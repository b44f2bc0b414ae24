"""Measure uvicorn against granian under the same shell, and a2wsgi without a shell; print a table of ratios.

`python tests/bench/servers.py` takes about two minutes, on 127.0.0.1 only. docs/serving.md holds a result and what
follows from it.
"""

import asyncio
import os
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
from hostile import free_port, hang_ups, never_reading, silent, stalled_upload  # noqa: E402  found by the line above
from tiny_app import make_app  # noqa: E402

from inspect_app.serving import Limits, wrap  # noqa: E402

ROUNDS = 5
SECONDS = 2.0
CONNECTIONS = 8
DEADLINE_S = 2
LIMITS = Limits(head_s=DEADLINE_S, body_idle_s=DEADLINE_S, write_idle_s=DEADLINE_S)
PATIENT = Limits()
UVICORN, GRANIAN, BARE = "uvicorn + shell", "granian + shell", "uvicorn + a2wsgi alone"
REQUEST = b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"


def uvicorn_main(port: int, limits: Limits, shelled: bool) -> None:
    """Run uvicorn in this process."""
    folder = Path(tempfile.mkdtemp())
    if shelled:
        from inspect_app.serving import serve

        sys.exit(serve(make_app(folder), "127.0.0.1", port, data_dir=folder, limits=limits))
    import uvicorn
    from a2wsgi import WSGIMiddleware

    app = WSGIMiddleware(make_app(folder), workers=limits.threads)
    uvicorn.run(app, host="127.0.0.1", port=port, loop="asyncio", http="httptools", log_config=None, access_log=False)


def granian_main(port: int, limits: Limits) -> None:
    """Run granian with one worker and asyncio's loop, as uvicorn has."""
    from granian import Granian
    from granian.constants import HTTPModes, Interfaces, Loops
    from granian.http import HTTP1Settings

    folder = Path(tempfile.mkdtemp())
    head = HTTP1Settings(header_read_timeout=int(limits.head_s * 1000))
    server = Granian(
        "shell", address="127.0.0.1", port=port, interface=Interfaces.ASGI, workers=1, loop=Loops.asyncio,
        http=HTTPModes.http1, websockets=False, http1_settings=head, log_enabled=False, workers_kill_timeout=5,
    )  # fmt: skip
    server.serve(target_loader=lambda _target: wrap(make_app(folder), limits=limits, data_dir=folder))


@contextmanager
def server(name: str, *, patient: bool) -> Iterator[int]:
    """Run one of the contenders as a process of its own; yield its port."""
    port = free_port()
    command = [sys.executable, str(HERE), name, str(port), "patient" if patient else "short"]
    process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    try:
        asyncio.run(_until_up(port))
        yield port
    finally:
        process.terminate()
        with suppress(subprocess.TimeoutExpired):
            process.wait(15)
        process.kill()
        process.wait()


async def _until_up(port: int) -> None:
    for _ in range(200):
        with suppress(OSError, TimeoutError):
            await timed(port)
            return
        await asyncio.sleep(0.1)
    raise RuntimeError("the server did not start")


async def timed(port: int, patience: float = 10.0) -> float:
    """Return the seconds one ordinary request takes on a connection of its own."""
    start = time.perf_counter()
    async with asyncio.timeout(patience):
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        try:
            writer.write(REQUEST)
            await reader.readuntil(b"hello")
        finally:
            writer.close()
    return time.perf_counter() - start


async def throughput(port: int) -> float:
    """Return trivial requests per second over a few kept connections."""
    end = time.perf_counter() + SECONDS

    async def one_client() -> int:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        done = 0
        while time.perf_counter() < end:
            writer.write(REQUEST)
            await reader.readuntil(b"hello")
            done += 1
        writer.close()
        return done

    return sum(await asyncio.gather(*(one_client() for _ in range(CONNECTIONS)))) / SECONDS


async def latencies(port: int, count: int = 200) -> list[float]:
    """Return the seconds of requests made one after the other; infinity once one is not answered in ten seconds."""
    times: list[float] = []
    for _ in range(count):
        try:
            times.append(await timed(port))
        except (TimeoutError, OSError, asyncio.IncompleteReadError):
            return [*times, float("inf")]
    return times


def p95(times: list[float]) -> float:
    """Return the 95th percentile."""
    return sorted(times)[int(len(times) * 0.95)] if times[-1] != float("inf") else float("inf")


def siege(port: int, stack: ExitStack) -> dict[str, list]:
    """Open sixty stalled uploads, twenty silent sockets and twenty clients that never read."""
    crowd = {
        "stalled uploads": [stalled_upload(port) for _ in range(60)],
        "silent sockets": [silent(port) for _ in range(20)],
        "never reading": [never_reading(port) for _ in range(20)],
    }
    for sockets in crowd.values():
        for one in sockets:
            stack.callback(one.close)
    time.sleep(1)
    return crowd


def measure(name: str) -> dict[str, float]:
    """Measure one contender once."""
    with server(name, patient=True) as port, ExitStack() as stack:
        rate = asyncio.run(throughput(port))
        calm = asyncio.run(latencies(port))
        siege(port, stack)
        held = asyncio.run(latencies(port))
    return {"rate": rate, "calm": statistics.median(calm), "median": statistics.median(held), "p95": p95(held)}


def closed_in_the_end(name: str) -> dict[str, str]:
    """Say how many of each kind of stalled socket are closed within ten times the deadline."""
    with server(name, patient=False) as port, ExitStack() as stack:
        crowd = siege(port, stack)
        end = time.monotonic() + 10 * DEADLINE_S
        return {kind: f"{hang_ups(sockets, end)} of {len(sockets)}" for kind, sockets in crowd.items()}


def main() -> None:
    """Print the tables."""
    names = [UVICORN, GRANIAN]
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
    elif sys.argv[1] == GRANIAN:
        granian_main(int(sys.argv[2]), PATIENT if sys.argv[3] == "patient" else LIMITS)
    else:
        uvicorn_main(int(sys.argv[2]), PATIENT if sys.argv[3] == "patient" else LIMITS, sys.argv[1] == UVICORN)
