"""A tiny Flask application behind the real shell, run as a server of its own by the tests and the bench.

`python tiny_app.py DATA_DIR '{"head_s": 1}' [PORT [https]]` prints its port, and leaves a file `stopped` in DATA_DIR when
it has closed properly. With `https` its authority is DATA_DIR/tls/authority.pem.
"""

import hashlib
import json
import sys
import threading
import time
from pathlib import Path

from flask import Flask, Response, request

from inspect_app.serving import Limits, serve
from inspect_app.serving.tls import LocalCertificate, names_for


def make_app(data_dir: Path) -> Flask:
    """Return the application; /slow waits for the file `go` in the data folder."""
    app = Flask(__name__)
    gate = threading.Event()

    @app.get("/")
    def hello() -> str:
        return "hello"

    @app.get("/bytes/<int:size>")
    def some_bytes(size: int) -> Response:
        return Response(b"x" * size, mimetype="application/octet-stream")

    @app.get("/endless")
    def endless() -> Response:
        return Response((b"x" * 65536 for _ in iter(int, 1)), mimetype="application/octet-stream")

    @app.route("/digest", methods=["POST", "PUT"])
    @app.route("/sync", methods=["POST"])
    @app.route("/photos/<name>", methods=["PUT"])
    def digest(name: str = "") -> dict[str, object]:
        body = request.get_data()
        return {"size": len(body), "sha256": hashlib.sha256(body).hexdigest()}

    @app.post("/form")
    def form() -> dict[str, str]:
        return dict(request.form)

    @app.get("/file")
    def file() -> Response:
        answer = Response(mimetype="image/jpeg", headers={"X-Lampwalk-File": request.args["path"]})
        answer.set_etag("kept")
        answer.cache_control.private = True
        return answer.make_conditional(request)

    @app.get("/environ")
    def environ() -> dict[str, str]:
        return {key: str(value) for key, value in request.environ.items()}

    @app.get("/status/<int:code>")
    def status(code: int) -> Response:
        return Response(b"" if code in (204, 304) else b"body", status=code)

    @app.get("/slow")
    def slow() -> str:
        (data_dir / f"began-{threading.get_ident()}").touch()
        while not (data_dir / "go").exists():
            time.sleep(0.02)
        return "finished"

    @app.get("/stuck")
    def stuck() -> str:
        (data_dir / f"began-{threading.get_ident()}").touch()
        gate.wait()
        return "never"

    @app.get("/fault")
    def fault() -> str:
        raise SystemExit("a view must not end the server")

    return app


def main() -> int:
    """Serve until told to stop."""
    data_dir, limits = Path(sys.argv[1]), Limits(**json.loads(sys.argv[2]))
    port = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    tls = LocalCertificate(data_dir / "tls", names_for("127.0.0.1")) if "https" in sys.argv[4:] else None
    return serve(
        lambda: make_app(data_dir),
        "127.0.0.1",
        port,
        data_dir=data_dir,
        limits=limits,
        on_start=(data_dir / "started").touch,
        on_stop=(data_dir / "stopped").touch,
        ready=lambda port: print(port, flush=True),
        tls=tls,
    )


if __name__ == "__main__":
    sys.exit(main())
