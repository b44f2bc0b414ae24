"""`lampwalk serve` as a process of its own, with what it prints."""

import http.client
import re
import signal
import ssl
import subprocess
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryFile

from tests.nursery import Forked

PATIENCE_S = 60


class Served:
    """A running `lampwalk serve --data FOLDER …`; ready when its address was printed."""

    def __init__(self, folder: Path, *options: str) -> None:
        self.folder = folder
        self.log = folder.with_suffix(".log")
        with self.log.open("w") as log:
            self.process = Forked(["-m", "inspect_app", "serve", "--data", folder, *options], stderr=log)
        self.address = ""
        self.page = self.fingerprint = ""
        self.said: list[str] = []
        for line in self.process.stdout:
            self.said.append(line)
            if "://" in line:
                self.address = self.address or line.split()[-1]
            if self.address.startswith("http:") or (self.address and "--cert" in options) or "fingerprint" in line:
                break
        everything = "".join(self.said)
        self.page = next(iter(re.findall(r"once, at (\S+)", everything)), "")
        self.fingerprint = next(iter(re.findall(r"SHA-256\): (\S+)", everything)), "")

    @property
    def port(self) -> int:
        """The port that was printed."""
        return int(self.address.rpartition(":")[2])

    @property
    def trusting(self) -> ssl.SSLContext:
        """What a tablet trusts that has fetched the certificate, and nothing else."""
        return ssl.create_default_context(cafile=self.folder / "tls" / "authority.pem")

    def connection(self, context: ssl.SSLContext | None = None) -> http.client.HTTPConnection:
        """A connection to it, by the name localhost."""
        if self.address.startswith("http:"):
            return http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        return http.client.HTTPSConnection("localhost", self.port, timeout=PATIENCE_S, context=context or self.trusting)

    def ask(self, method: str, path: str, body: bytes | None = None, **headers: str) -> http.client.HTTPResponse:
        """Make one request; the answer has been read whole into `.content`."""
        with closing(self.connection()) as connection:  # also where the server hangs up half-way
            connection.request(method, path, body, {name.replace("_", "-"): value for name, value in headers.items()})
            answer = connection.getresponse()
            answer.content = answer.read()  # type: ignore[attr-defined]
        return answer

    def stop(self, how: signal.Signals = signal.SIGTERM) -> int:
        """Ask it to stop; its exit code."""
        self.process.send_signal(how)
        return self.wait()

    def wait(self) -> int:
        """Its exit code, once it has ended."""
        return self.process.wait(PATIENCE_S)

    def close(self) -> None:
        """End it for certain."""
        self.process.close()


def run(folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """Run `lampwalk serve` where it is expected to end by itself."""
    with TemporaryFile("w+") as errors:
        process = Forked(["-m", "inspect_app", "serve", "--data", folder, *options], stderr=errors)
        said = process.stdout.read()
        code = process.wait(PATIENCE_S)
        process.close()
        errors.seek(0)
        return subprocess.CompletedProcess([], code, said, errors.read())
