"""A small server that speaks as Lampwalk does to its tablets, and can be told to misbehave as shop networks do.

Holds what it accepted in memory. It answers by the contract of /sync, /changes, /photos and /me; the modules are also
run against the real application in test_real_server.py. Scripts and styles are sent as the application sends them, joined.
"""

from __future__ import annotations

import threading
import time
from typing import Any

from flask import Flask, Response, abort, jsonify, redirect, request
from werkzeug.serving import WSGIRequestHandler, make_server

from inspect_app.rooms.edition import JOINED, assets
from tests.lent import EMPTY, NOTHING

PAGE = (
    "<!doctype html><html lang='en' data-theme='day'><head><meta charset='utf-8'><title>Bench</title>"
    "<meta name='viewport' content='width=device-width, initial-scale=1'>"
    f"<link rel='stylesheet' href='/{JOINED}'><link rel='stylesheet' href='/bench.css'></head>"
    "<body><main id='main'><h1>Bench</h1>"
    "<button type='button' data-sent-button><output class='sent' data-sent></output></button>"
    "<div class='board' id='board'><svg id='drawing' aria-label='drawing'></svg></div></main></body></html>"
)
BENCH_CSS = ".board { height: 600px; }"
POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'"
ANNA = {"person": "p-anna", "name": "Anna Beispiel", "roles": ["inspector"], "departments": []}
BORIS = {"person": "p-boris", "name": "Boris Beispiel", "roles": ["technician"], "departments": ["paint"]}


class Quiet(WSGIRequestHandler):
    """Writes no line for each request."""

    def log_request(self, code: int | str = "-", size: int | str = "-") -> None:
        """Say nothing."""


class Stub:
    """The server's memory, and how it behaves: `mode` is one of
    well, fault, signed_out, to_login, html, silent, forgetful (works, but its answer is lost), cut (half an answer)."""

    def __init__(self) -> None:
        self.mode = "well"
        self.person: dict[str, Any] = ANNA
        self.epoch = "e1"
        self.n = 0
        self.events: list[dict[str, Any]] = []
        self.answers: dict[str, dict[str, Any]] = {}
        self.requests: list[dict[str, Any]] = []
        self.photos: dict[str, bytes] = {}
        self.log: list[str] = []
        self.rows: dict[str, list[dict[str, Any]]] = {"units": [], "markers": []}
        self.refuse: dict[str, tuple[str, str]] = {}
        self.unreadable: set[str] = set()
        self.unanswered: set[str] = set()
        self.most = 500
        self.ahead_ms = 0
        self.fed: int | None = None  # how far the changes feed has got, when it lags behind
        self.release = threading.Event()
        self._lock = threading.Lock()
        self.port = 0
        self._server: Any = None
        self._thread: threading.Thread | None = None

    @property
    def tags(self) -> list[str]:
        """The tags accepted, in the order of acceptance."""
        return [event["body"]["tag"] for event in self.events]

    def start(self, port: int = 0) -> int:
        """Serve on a port of the loopback address."""
        self._server = make_server("127.0.0.1", port, application(self), threaded=True, request_handler=Quiet)
        self._server.daemon_threads = True
        self._thread = threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
        self._thread.start()
        self.port = int(self._server.server_port)
        return self.port

    def stop(self) -> None:
        """Go away, as a server that was switched off."""
        self.release.set()
        if self._server is not None and self._thread is not None:
            self._server.shutdown()
            self._thread.join()
            self._server.server_close()
        self._server = None

    def now(self) -> int:
        return int(time.time() * 1000) + self.ahead_ms

    def me(self) -> dict[str, Any]:
        ticket = f"t-{self.person['person']}"
        proof = {"ticket": ticket, "token": f"signed:{ticket}", "tablet": "tab-1", "letters": "B"}
        return {**self.person, **proof, "until": self.now() + 8 * 3600_000, "now": self.now()}

    def take(self, batch: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """Answer each event once and for all; the same id again gets the same answer."""
        with self._lock:
            return [self._take(event) for event in batch if event["type"] not in self.unanswered]

    def _take(self, event: dict[str, Any]) -> dict[str, Any]:
        if event["id"] not in self.answers:
            outcome, reason = self.refuse.get(event["type"], ("applied", None))
            n = None
            if outcome != "refused":
                self.n += 1
                n = self.n
                self.events.append(event)
                self.log.append(event["type"])
            said = {"outcome": outcome, "reason": reason, "n": n, "resolved": {}}
            self.answers[event["id"]] = {"id": event["id"], **said}
        return self.answers[event["id"]]


def lasting(content: str | bytes, kind: str) -> Response:
    """Something that is the same all through a run, so that a page that is lent asks for it once."""
    answer = Response(content, mimetype=kind)
    answer.cache_control.max_age = 3600
    return answer


def error(status: int, code: str, message: str) -> tuple[Response, int]:
    """The one shape of JSON errors."""
    return jsonify(error={"code": code, "message": message, "field": None}), status


def application(stub: Stub) -> Flask:
    """Build the application around one stub."""
    app = Flask("stub", static_folder=None)
    app.before_request(lambda: misbehave(stub))

    @app.after_request
    def sealed(response: Response) -> Response:
        if request.path != EMPTY:
            response.headers["Content-Security-Policy"] = POLICY
        return response

    @app.get("/")
    def page() -> str:
        return PAGE

    @app.get("/bench.css")
    def bench_css() -> Response:
        return lasting(BENCH_CSS, "text/css")

    @app.get(EMPTY)
    def empty() -> str:
        return NOTHING

    @app.get("/client/<path:path>")
    def client(path: str) -> Response:
        found = assets().get(f"client/{path}") or abort(404)
        return lasting(found.content, found.kind)

    @app.get("/me")
    def me() -> Response:
        return jsonify(stub.me())

    @app.get("/sign-in/names")
    def names() -> Response:
        return jsonify(people=[{"person": p["person"], "name": p["name"]} for p in (ANNA, BORIS)])

    @app.post("/sign-in")
    def sign_in() -> Any:
        asked = request.get_json()
        if asked["pin"] != "2468":
            return error(403, "wrong_pin", "That is not the PIN of this name; try again.")
        stub.person = next(p for p in (ANNA, BORIS) if p["person"] == asked["person"])
        stub.mode = "well"
        return jsonify(stub.me())

    @app.post("/sync")
    def sync() -> Any:
        asked = request.get_json()
        stub.requests.append(asked)
        if len(asked["events"]) > stub.most:
            return error(413, "too_many", "Send fewer at a time.")
        if any(event["type"] in stub.unreadable for event in asked["events"]):
            return error(422, "malformed", "This server cannot read one of the events.")
        answers = stub.take(asked["events"])
        if stub.mode == "forgetful":
            return error(502, "lost", "The answer was lost on its way.")
        if stub.mode == "cut":
            return Response('{"answers": [', mimetype="application/json")
        return jsonify(answers=answers, now=stub.now(), n=stub.n, epoch=stub.epoch)

    @app.get("/changes")
    def changes() -> Any:
        since = int(request.args["since"])
        newest = stub.n if stub.fed is None else stub.fed
        etag = f"{stub.epoch}-{newest}"
        if request.if_none_match.contains(etag):
            stub.log.append("changes 304")
            return Response(status=304)
        stub.log.append(f"changes {since}")
        rows = {table: [row for row in rows if since < row["n"] <= newest] for table, rows in stub.rows.items()}
        response = jsonify(epoch=stub.epoch, n=newest, now=stub.now(), rows=rows)
        response.set_etag(etag)
        return response

    @app.put("/photos/<photo>")
    def put_photo(photo: str) -> Any:
        if not any(event["body"].get("photo") == photo for event in stub.events):
            stub.log.append("photo too early")
            return error(404, "not_announced", "The server has not heard of this photo yet.")
        if not request.data.startswith(b"\xff\xd8"):
            return error(422, "photo", "This is not a picture that can be read; take it again.")
        stub.photos[photo] = request.data
        stub.log.append("photo")
        return jsonify(photo=photo, state="stored")

    return app


def misbehave(stub: Stub) -> Any:
    """What happens to a request before the server proper sees it."""
    if request.path in ("/", EMPTY) or request.path.startswith(("/client/", "/bench", "/sign-in")):
        return None
    if stub.mode == "fault":
        return Response("<h1>Internal fault</h1>", status=500, mimetype="text/html")
    if stub.mode == "signed_out":
        return error(401, "sign_in", "You are not signed in; sign in to go on.")
    if stub.mode == "to_login":
        return redirect("/sign-in?next=/")
    if stub.mode == "html":
        return Response("<h1>Welcome to the free Wi-Fi</h1>", mimetype="text/html")
    if stub.mode == "silent":
        stub.release.wait(30)
        return Response(status=503)
    return None
