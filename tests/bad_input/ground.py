"""A plant with a bit of everything on it, and what may be compared before and after something hostile was sent."""

from __future__ import annotations

import hashlib
import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from inspect_app.journal.verify import verify
from sample_units.hands import Hands, admit, hire, new_id
from tests.conftest import PIN, Plant

ROLES = ("inspector", "technician", "manager")
# The server's own notes, which are no history: what it refused, who has what open, wrong PINs, what is still to be
# judged (struck out with a later commit), running numbers of tables.
NOTES = {"refused", "seen_by", "tries", "unjudged", "sqlite_sequence", "sqlite_stat1"}
# What no person is to read: the inside of the program, or the words of its libraries.
INSIDE = ("traceback", 'file "', "error:", "exception", "pydantic", "sqlite", "werkzeug", "<class", "object at 0x")
_SOURCE = re.compile(r"\.py\b")


class Ground:
    """One person of each role at a tablet; a unit with a walk, a marker, jobs, a photo that is awaited, a concession."""

    def __init__(self, app: Flask, pin_hash: str):
        self.app = app
        self.journal = app.extensions["lampwalk"].journal
        self.plant = Plant(self.journal, pin_hash)
        self.people = {
            role: hire(
                self.journal, role.title(), (role,), ("paint",) if role == "technician" else (), pin_hash=pin_hash
            )
            for role in ROLES
        }
        self.clients = {role: self.signed_in(role) for role in ROLES}
        self.clients["nobody"] = ours(app.test_client())
        ines, self.unit = self.plant.ines, self.plant.unit()
        self.walk = ines.start_walk(self.unit)
        self.marker = ines.mark(self.unit, self.walk, "swirl", "left.cab_door_lower", "B1", size=300)
        self.dent = ines.mark(self.unit, self.walk, "dent", "right.cab_door_lower", "B2", size=120)
        self.photo = self.announced()
        self.concession = new_id()
        asked = {"concession": self.concession, "marker": self.marker}
        words = {"reason": "Agreed at the gate", "customer": "Bo", "channel": "by telephone"}
        answer = ines.do(self.unit, "concession_asked", asked, words)
        assert answer.outcome == "applied", answer.reason

    def signed_in(self, role: str) -> FlaskClient:
        """A client that sends what a page of ours sends."""
        client = ours(self.app.test_client())
        answer = client.post("/sign-in", json={"person": self.people[role], "pin": PIN})
        assert answer.status_code == 200, answer.text
        return client

    def announced(self) -> str:
        """A photo whose picture has not come yet."""
        photo = new_id()
        answer = self.plant.ines.do(self.unit, "photo_added", {"photo": photo, "marker": self.marker, "role": "found"})
        assert answer.outcome == "applied", answer.reason
        return photo

    def hands(self) -> Hands:
        """Somebody else, at a tablet of their own."""
        return Hands(self.journal, self.people["inspector"], admit(self.journal), ("inspector",))

    def kept(self) -> dict[str, Any]:
        """Everything kept: a hash of each table of the history and of each file of the photos and sheets."""
        db, found = self.journal.read(), {}
        for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall():
            if name not in NOTES:
                rows = sorted(repr(tuple(row)) for row in db.execute(f'SELECT * FROM "{name}"'))
                found[name] = (len(rows), hashlib.sha256("\n".join(rows).encode("utf-8", "replace")).hexdigest())
        return {**found, **self.files()}

    def files(self) -> dict[str, str]:
        """Each file of the photos and sheets with its hash; one that is still being written is here too."""
        folder = self.journal.folder
        files = [path for kept in (folder.photos, folder.sheets) for path in kept.rglob("*") if path.is_file()]
        return {str(path.relative_to(folder.path)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}

    def is_whole(self) -> None:
        """Hold the whole history and all its tables and files against each other."""
        told = verify(self.journal.folder.path)
        assert told.clean, told.sentence


def ours(client: FlaskClient) -> FlaskClient:
    """Let a client send the header of our pages."""
    client.environ_base["HTTP_X_LAMPWALK"] = "1"
    return client


def told_of_the_inside(text: str) -> list[str]:
    """What of the program's inside is in a text that a person reads."""
    low = text.lower()
    return [word for word in INSIDE if word in low] + _SOURCE.findall(low)


def is_a_sentence(text: object) -> None:
    """Hold a message against what a person may be told: one line, a whole sentence, nothing of the program's inside."""
    assert isinstance(text, str)
    assert 10 <= len(text) <= 600, text[:700]
    assert re.fullmatch(r"[A-Z'‘“\"0-9][^\n]*[.]", text), text
    assert not told_of_the_inside(text), text


def is_refused(answer: Any, *statuses: int) -> str:
    """Hold an answer against the one shape of errors and its status; return the code."""
    assert answer.status_code in statuses, (answer.status_code, answer.text[:300])
    assert set(answer.json) == {"error"}, answer.text[:300]
    assert set(answer.json["error"]) == {"code", "message", "field"}
    is_a_sentence(answer.json["error"]["message"])
    return answer.json["error"]["code"]
