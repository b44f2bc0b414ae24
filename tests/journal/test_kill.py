"""What the server has answered for is on disk: it is killed a hundred times at random moments, and every answer still holds."""

import http.client
import json
import random
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from inspect_app.journal import Journal
from inspect_app.journal.verify import verify
from sample_units.hands import Hands, admit, hire, new_id
from tests.nursery import Forked

KILLS = 100


class Tablet:
    """A signed-in tablet that keeps sending markers until the server is gone, noting each answer."""

    def __init__(self, hands: Hands, unit: str, walk: str):
        self.hands, self.unit, self.walk = hands, unit, walk
        self.token = hands.journal.tickets.write(hands.ticket)
        self.spot = hands.spot(unit, "left.cab_door_lower")
        self.answered: dict[str, int] = {}
        self.cookie = ""
        self.tag = 0

    def sign_in(self, address: str) -> None:
        """Get a session cookie; sessions outlive the server."""
        body = json.dumps({"person": self.hands.person, "pin": "2580"}).encode()
        with urllib.request.urlopen(self.request(f"{address}/sign-in", body)) as answer:
            self.cookie = "; ".join(line.split(";")[0] for line in answer.headers.get_all("Set-Cookie"))

    def request(self, url: str, body: bytes) -> urllib.request.Request:
        """A JSON write as our pages send it."""
        headers = {"Content-Type": "application/json", "X-Lampwalk": "1", "Cookie": self.cookie}
        return urllib.request.Request(url, body, headers)

    def send_until_killed(self, address: str, first: threading.Event) -> None:
        """Send one to three markers at a time."""
        while True:
            events = [self.marker() for _ in range(random.randint(1, 3))]
            body = json.dumps({"tablet": self.hands.tablet, "pending": 1, "tickets": [self.token], "events": events})
            try:
                with urllib.request.urlopen(self.request(f"{address}/sync", body.encode()), timeout=20) as answer:
                    told = json.load(answer)["answers"]
            except (OSError, ValueError, http.client.HTTPException):
                return
            self.answered.update({one["id"]: one["n"] for one in told})
            first.set()

    def marker(self) -> dict:
        """The next marker of this tablet."""
        self.tag += 1
        # of a kind that is not counted together: hundreds of nibs on one spot would be judged anew with each
        body = {"marker": new_id(), "tag": f"A{self.tag}", "walk": self.walk, "kind": "hinge", **self.spot}
        return self.hands.event(self.unit, "marker_made", body)


@contextmanager
def server(folder: Path) -> Iterator[str]:
    """Start one and yield its address; then kill -9 it and wait until it is gone."""
    process = Forked(["-m", "inspect_app", "serve", "--data", folder, "--port", "0"])
    try:
        yield process.stdout.readline().split()[-1]
    finally:
        process.close()


def test_an_answered_event_survives_kill_9_a_hundred_times(tmp_path, pin_hash):
    folder = tmp_path / "data"
    with Journal(folder) as journal:
        ines = Hands(
            journal,
            hire(journal, "Ines Okafor", ["inspector", "manager"], pin_hash=pin_hash),
            admit(journal),
            ("inspector", "manager"),
        )
        unit = ines.arrive(
            chassis="ZZBRT6L10KA047312", plant="Halden yard", build_number="HB-1", make="Brennach", model="Tourer 6",
            colour="Sand", finish="solid",
        )  # fmt: skip
        tablet = Tablet(ines, unit, ines.start_walk(unit))
    for _ in range(KILLS):
        with server(folder) as address:
            tablet.cookie or tablet.sign_in(address)
            first = threading.Event()
            sender = threading.Thread(target=tablet.send_until_killed, args=(address, first))
            sender.start()
            first.wait(20)
            time.sleep(random.random() * 0.03)
        sender.join(30)

    with Journal(folder) as journal:
        kept = {
            row["id"]: row["n"] for row in journal.read().execute("SELECT id, n FROM events WHERE type = 'marker_made'")
        }
    assert len(tablet.answered) >= KILLS
    assert None not in tablet.answered.values()  # none was refused
    assert {key: kept.get(key) for key in tablet.answered} == tablet.answered
    told = verify(folder)
    assert told.clean, told.sentence
