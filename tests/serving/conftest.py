"""A real server in a process of its own, for tests through real sockets."""

import http.client
import json
import signal
import ssl
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.nursery import Forked

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))  # hostile.py lies beside the tests whatever pytest's import mode

from hostile import Line, free_port  # noqa: E402  found by the line above

GENEROUS_S = 60  # an ordinary request takes about a millisecond; one that has not ended by then is held up


@dataclass(frozen=True, kw_only=True)
class Reply:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes
    dates: int

    def error(self) -> dict[str, str | None]:
        """Return the error object, having checked that the answer has the one JSON shape."""
        content = json.loads(self.body)
        assert list(content) == ["error"]
        assert sorted(content["error"]) == ["code", "field", "message"]
        return content["error"]


class RunningServer:
    """The tiny application behind the shell, as its own process."""

    def __init__(self, data_dir: Path, limits: dict[str, float], scheme: str) -> None:
        self.data_dir = data_dir
        self.scheme = scheme
        self.log = data_dir.parent / f"{data_dir.name}.log"
        with self.log.open("w") as log:
            self.process = Forked([HERE / "tiny_app.py", data_dir, json.dumps(limits), "0", scheme], stderr=log)
        self.port = int(self.process.stdout.readline())
        authority = data_dir / "tls" / "authority.pem"
        context = ssl.create_default_context(cafile=authority) if scheme == "https" else None
        self.line = Line(port=self.port, context=context)

    def ask(
        self,
        method: str,
        path: str,
        body: object = None,
        headers: dict[str, str] | None = None,
        timeout: float = GENEROUS_S,
    ) -> Reply:
        """Make one request on a connection of its own."""
        if self.line.context is None:
            connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=timeout)
        else:
            context = self.line.context
            connection = http.client.HTTPSConnection("localhost", self.port, timeout=timeout, context=context)
        try:
            connection.request(method, path, body, headers or {})
            answer = connection.getresponse()
            dates = len(answer.headers.get_all("date", []))
            return Reply(status=answer.status, headers=dict(answer.headers), body=answer.read(), dates=dates)
        finally:
            connection.close()

    def at_work(self) -> int:
        """Return how many threads have begun on a /slow or /stuck request."""
        return len(list(self.data_dir.glob("began-*")))

    def stop(self) -> int:
        """Ask the server to stop as a service manager does; return its exit code."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(GENEROUS_S)

    def close(self) -> None:
        """End the process for certain."""
        self.process.close()


def eventually(holds: Callable[[], bool]) -> bool:
    """Ask again and again until something holds, or until it is clear that it will not."""
    end = time.monotonic() + GENEROUS_S
    while time.monotonic() < end:
        if holds():
            return True
        time.sleep(0.02)
    return False


@pytest.fixture(name="eventually")
def eventually_fixture() -> Callable[[Callable[[], bool]], bool]:
    """For what happens in the server a moment after the client has done its part."""
    return eventually


@pytest.fixture(scope="module", params=["http", "https"])
def scheme(request: pytest.FixtureRequest) -> str:
    """Everything a server promises it promises over TLS too."""
    return request.param


@pytest.fixture(name="free_port")
def free_port_fixture() -> Callable[[], int]:
    """A port nobody listens on."""
    return free_port


@pytest.fixture
def start(tmp_path: Path, scheme: str) -> Iterator[Callable[..., RunningServer]]:
    """Start a server with these limits instead of the usual ones."""
    servers: list[RunningServer] = []

    def _start(**limits: float) -> RunningServer:
        data_dir = tmp_path / f"data{len(servers)}"
        data_dir.mkdir()
        servers.append(RunningServer(data_dir, limits, scheme))
        return servers[-1]

    yield _start
    for server in servers:
        server.close()


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory, scheme: str) -> Iterator[RunningServer]:
    """One server with the usual limits, shared by a file of tests that leave it as it was."""
    running = RunningServer(tmp_path_factory.mktemp("data"), {}, scheme)
    yield running
    running.close()


@pytest.fixture
def in_background() -> Iterator[Callable[..., Callable[[], object]]]:
    """Run a function in a thread; what is returned waits for its result."""
    threads: list[threading.Thread] = []

    def _start(function: Callable[..., object], *args: object) -> Callable[[], object]:
        result: list[object] = []
        thread = threading.Thread(target=lambda: result.append(function(*args)), daemon=True)
        thread.start()
        threads.append(thread)

        def wait() -> object:
            thread.join(GENEROUS_S)
            assert result, "the request was never answered"
            return result[0]

        return wait

    yield _start
    for thread in threads:
        thread.join(1)
