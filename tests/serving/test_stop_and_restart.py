"""A server that is stopped while tablets are at work: what was accepted is there, open uploads are told, it starts again."""

import json
import threading

import pytest
from command import Served
from hostile import Line, read_all, stalled_upload

from inspect_app.journal import Journal
from inspect_app.journal.verify import verify
from sample_units.hands import Hands, admit, hire, new_id

TABLETS = 3
UNIT = {
    "chassis": "ZZBRT6L10KA047312", "plant": "Halden yard", "build_number": "HB-1", "make": "Brennach", "model": "Tourer 6",
    "colour": "Sand", "finish": "solid",
}  # fmt: skip


class Tablet(threading.Thread):
    """A signed-in tablet that sends one marker after the other until the server is gone, and notes the answers."""

    def __init__(self, hands: Hands, unit: str, letter: str) -> None:
        super().__init__(daemon=True)
        self.hands, self.unit, self.letter = hands, unit, letter
        self.walk = hands.start_walk(unit)
        self.spot = hands.spot(unit, "left.cab_door_lower")
        self.token = hands.journal.tickets.write(hands.ticket)
        self.answered: dict[str, int] = {}
        self.number = 0
        self.server: Served | None = None
        self.cookie = ""

    def run(self) -> None:
        """Sign in and send."""
        self.sign_in()
        while True:
            try:
                self.send()
            except OSError:
                return

    def sign_in(self) -> None:
        """Get a session cookie."""
        body = json.dumps({"person": self.hands.person, "pin": "2580"}).encode()
        answer = self.server.ask("POST", "/sign-in", body, Content_Type="application/json", X_Lampwalk="1")
        self.cookie = "; ".join(line.split(";")[0] for line in answer.msg.get_all("set-cookie"))

    def send(self) -> int:
        """Send one marker; the status."""
        self.number += 1
        body = {
            "marker": new_id(),
            "tag": f"{self.letter}{self.number}",
            "walk": self.walk,
            "kind": "nib",
            "size": 8,
            **self.spot,
        }
        event = self.hands.event(self.unit, "marker_made", body)
        sync = json.dumps(
            {"tablet": self.hands.tablet, "pending": 1, "tickets": [self.token], "events": [event]}
        ).encode()
        answer = self.server.ask(
            "POST", "/sync", sync, Content_Type="application/json", X_Lampwalk="1", Cookie=self.cookie
        )
        if answer.status == 200:
            self.answered.update({one["id"]: one["n"] for one in json.loads(answer.content)["answers"]})
        return answer.status


@pytest.fixture
def tablets(tmp_path, pin_hash):
    """Three inspectors, each on a walk."""
    roles = ("inspector", "manager")
    with Journal(tmp_path / "data") as journal:
        found = []
        for letter in "ABC"[:TABLETS]:
            hands = Hands(journal, hire(journal, f"Ines {letter}", roles, pin_hash=pin_hash), admit(journal), roles)
            unit = found[0].unit if found else hands.arrive(**UNIT)
            found.append(Tablet(hands, unit, letter))
    return found


def test_a_stop_amid_work_loses_nothing_accepted_and_the_next_start_serves_at_once(
    tmp_path, tablets, scheme, free_port, eventually
):
    folder, port = tmp_path / "data", str(free_port())
    options = ["--port", port, *(["--tls", "--http-port", "0"] if scheme == "https" else [])]
    server = Served(folder, *options)
    line = Line(port=server.port, context=server.trusting if scheme == "https" else None)
    uploads = [stalled_upload(line, f"/photos/{new_id()}") for _ in range(3)]
    for tablet in tablets:
        tablet.server = server
        tablet.start()
    assert eventually(lambda: all(len(tablet.answered) >= 5 for tablet in tablets))

    code = server.stop()

    for tablet in tablets:
        tablet.join(60)
    told = [read_all(upload) for upload in uploads]
    for one in (server, *uploads):
        one.close()
    assert code == 0
    assert all(answer.startswith(b"HTTP/1.1 503 ") and b"server_stopping" in answer for answer in told)
    assert "Traceback" not in server.log.read_text()
    assert list((folder / "photos" / "incoming").iterdir()) == []

    again = Served(folder, *options)
    try:
        tablet = tablets[0]
        tablet.server = again
        assert tablet.send() == 200  # with the old cookie: nobody has to sign in again
        assert again.stop() == 0
    finally:
        again.close()
    assert verify(folder).clean
    with Journal(folder) as journal:
        stored = dict(journal.read().execute("SELECT id, n FROM events").fetchall())
    assert {key: n for tablet in tablets for key, n in tablet.answered.items()}.items() <= stored.items()
