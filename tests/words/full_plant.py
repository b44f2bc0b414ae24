"""A plant with something on every page of it, and which of the texts there are its own data, not Lampwalk's words."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from functools import cached_property

from flask import Flask
from flask.testing import FlaskClient

from inspect_app.journal.events import PLANT
from inspect_app.rooms.offline import shells
from inspect_app.rooms.people.codes import codes
from inspect_app.rooms.people.pins import hash_pin
from inspect_app.rooms.setup.handout import Handout, offer
from inspect_app.trade import outline, outline_numbers
from inspect_app.trade.catalogue import builtin
from inspect_app.trade.reading_taken import WHATS
from sample_units.hands import new_id
from tests.conftest import PIN, Plant
from tests.rooms import signed_units as done
from tests.rooms.desk import Desk
from tests.words.pseudo import KEY

# What people wrote, and what is drawn, made or counted up in the plant's language (English here): columns by table.
DATA = {
    "units": ("chassis", "plant", "build_number", "make", "model", "colour", "last_six", "place", "keys", "options"),
    "people": ("name",),
    "tablets": ("letters", "name"),
    "markers": ("tag", "words", "limit_text", "note", "no_flaw"),
    "questions": ("text", "answer"),
    "concessions": ("reason", "customer"),
    "jobs": ("waiting_what",),
    "timers": ("place",),
    "painted": ("booth", "mix"),
    "parts": ("place", "booth", "mix", "reason"),
    "readings": ("label", "text"),
    "gate_checks": ("words",),
    "refused": ("reason",),
}
FORMATS = "ru_RU"  # months and weekdays without a Latin letter, so that one put together in English is seen
LIST = (
    "plant;chassis;build no;make;model;colour;finish;options;due\r\n"
    "Halden yard;ZZBRT6L11KA047999;HB-77;Brennach;Tourer 6;Sand;solid;;2026-12-15\r\n"
    "Halden yard;ZZBRT6LO0KA047313;HB-3;Brennach;Tourer 6;Sand;matt;;2026-12-15\r\n"
)
MORE = {
    "/units": [f"/units?show={show}" for show in ("late", "in_rework", "signed", "walking")],
    "/units/find": ["/units/find?last6=047", "/units/find?last6=99999"],
    "/rates": ["/rates?from=2026-99-01", "/rates?kind=dent", "/rates?from=2020-01-01&to=2020-02-01"],
    "/questions": ["/questions?show=answered"],
}


class Full:
    """The plant, what its pages are called, and who asks for them."""

    def __init__(self, app: Flask) -> None:
        self.app = app
        self.journal = app.extensions["lampwalk"].journal
        self.plant = Plant(self.journal, hash_pin(PIN))
        self.units: list[str] = []
        self.found: dict[str, list[str]] = {}
        self.codes: set[str] = set()  # of a tablet that is to come in, and the fingerprint of a certificate

    def client(self, who: str) -> FlaskClient:
        """A browser of one of the cast, in the language nobody speaks."""
        client = self.app.test_client()
        client.environ_base["HTTP_X_LAMPWALK"] = "1"
        answer = client.post("/sign-in", json={"person": self.plant.people[who], "pin": PIN})
        assert answer.status_code == 200, answer.text
        client.environ_base.pop("HTTP_X_LAMPWALK")
        client.environ_base["HTTP_ACCEPT"] = "text/html"
        client.set_cookie("language", KEY)
        client.set_cookie("formats", FORMATS)
        return client

    def addresses(self, rule: str) -> Iterator[str]:
        """Addresses of a rule, with something there."""
        if "<" not in rule:
            yield rule
        elif rule in self.found:
            yield from self.found[rule]
        elif rule.startswith(("/units/", "/sign-off/", "/walk/", "/again/")):
            yield from (re.sub(r"<[^>]+>", unit, rule) for unit in self.units)
        else:
            raise AssertionError(f"say in full_plant.py which addresses there are of {rule}")
        yield from MORE.get(rule, ())

    @cached_property
    def data(self) -> list[str]:
        """The plant's own texts, the longest first, so that none is cut by a shorter one in it."""
        db, texts = self.journal.read(), set()
        for table, columns in DATA.items():
            for row in db.execute(f"SELECT {', '.join(columns)} FROM {table}"):
                texts |= {str(value) for value in row if value}
            if table == "readings":
                texts |= {text[:1].upper() + text[1:] for text in texts}  # a verdict opens its line
            if table == "units":
                texts |= {one for (told,) in db.execute("SELECT options FROM units") for one in json.loads(told)}
        catalogue = builtin()
        parts = (catalogue.kinds, catalogue.methods, catalogue.cautions, catalogue.gates, catalogue.departments)
        texts |= {one.origin for part in parts for one in part.values()} | {one.origin for one in catalogue.limits}
        texts |= {catalogue.name, catalogue.hash[:12], *self.codes, "English", "Esperanto"}
        texts |= {part for text in list(texts) for part in (text[:-6], text[-6:], *(_chassis(text))) if len(text) == 17}
        return sorted((text for text in texts if len(text) > 1), key=len, reverse=True)


def _chassis(text: str) -> tuple[str, ...]:
    return (text[:3], text[3:9], text[9:11], text[11:14], text[14:])


def _line(full: Full) -> None:
    """A safety timer that runs, and a part whose painting is noted."""
    unit, plant = full.units[1], full.plant
    told = {"timer": new_id(), "caution": "flame", "place": "Halden flame bench", "minutes": 60}
    assert plant.per.do(unit, "timer_started", told).outcome == "applied"
    now = plant.journal.clock()
    told = {"part": "sliding_door_left", "booth": "Booth 2", "sprayer": plant.people["thanh"], "at": now}
    assert plant.per.online(unit, "part_painted", told).outcome == "applied"
    assert plant.per.online(unit, "station_passed", {"station": "paint"}).outcome == "applied"


def filled(app: Flask) -> Full:
    """Fill an empty plant."""
    full = Full(app)
    plant = full.plant
    _units(full)
    desk = Desk(full.client("maud"))
    desk.send(f"/units/{full.units[0]}/place", page=f"/units/{full.units[0]}", place="Bay 4", keys="hook 7")
    _line(full)
    _tablets(full, desk)
    imported = desk.send("/setup/units/import", file=(io.BytesIO(LIST.encode()), "units.csv")).location
    own, draft = _outlines(full, desk)
    kinds = ("kinds", "methods", "limits", "cautions", "gates", "departments", "options", "stations")
    keys = {"kinds": "nib", "methods": "denib_polish", "gates": "identity", "departments": "paint"}
    full.found |= {
        "/parts/<key>": _parts(full),
        "/readings/<key>": _readings(full),
        "/units/<key>/readings/<what>": [f"/units/{full.units[0]}/readings/{what}" for what in WHATS],
        "/rework/<job>": [f"/rework/{row['id']}" for row in plant.rows("jobs", full.units[1])][:1],
        "/setup/people/<key>": [f"/setup/people/{plant.people[key]}" for key in ("per", "zaneta")],
        "/setup/people/<key>/pin": [f"/setup/people/{plant.people['per']}/pin"],
        "/setup/units/import/<key>": [imported],
        "/setup/catalogue/<part>": [f"/setup/catalogue/{part}" for part in kinds],
        "/setup/catalogue/<part>/new": [f"/setup/catalogue/{part}/new" for part in (*keys, "options", "stations")],
        "/setup/catalogue/<part>/<key>": [
            f"/setup/catalogue/{part}/{key}"
            for part, key in {**keys, "stations": "exterior", "cautions": "flame"}.items()
        ],
        "/setup/catalogue/rules/<part>": [
            f"/setup/catalogue/rules/{part}"
            for part in ("clusters", "budgets", "readings", "offers", "bars", "part_stages", "gate_values")
        ],
        "/setup/catalogue/limits/<key>": ["/setup/catalogue/limits/nib"],
        "/setup/catalogue/changes/<old>/<new>": ["/setup/catalogue/changes/1/1"],
        "/setup/outlines/<key>": [f"/setup/outlines/{key}" for key in (own.hash, outline.builtin().hash)],
        "/setup/outlines/drafts/<key>": [draft],
        "/shell/<page>": [f"/shell/{name}?language={KEY}&formats={FORMATS}" for name in shells.PAGES],
    }
    desk.send(f"/setup/people/{plant.people['zaneta']}/left", page="/setup/people/new")
    handout = Handout(
        address="https://halden.local:8440", page="http://halden.local:8441", name="Halden yard",
        fingerprint=":".join(f"{number:02X}" for number in range(200, 232)), der=b"0",
        ends=lambda: datetime(2027, 12, 27, tzinfo=UTC), authority_ends=datetime(2036, 11, 24, tzinfo=UTC),
    )  # fmt: skip
    offer(app, handout)
    waiting = codes(app).by_key(full.found["/setup/tablets/codes/<key>"][0].rsplit("/", 1)[1], full.journal.clock())
    versions = {own.label, own.hash[:12], outline.builtin().label, outline.builtin().hash[:12]}
    full.codes = {waiting.spaced, *handout.fingerprint_lines, *versions}
    return full


def _parts(full: Full) -> list[str]:
    """One part that has just come off, one whose paint hardens, one put back; the addresses of their pages."""
    plant, unit = full.plant, full.units[0]
    hands, parts = plant.dmytro, [new_id() for _ in range(3)]
    for part, of in zip(parts, ("moulding_cab_door_left", "cab_door_left", "rear_cap"), strict=True):
        hands.online(unit, "part_off", {"part": part, "of": of, "place": "Rack 2"})
    for since, stage in (("off", "prepped"), ("prepped", "primed")):  # a door: neither washed nor flamed
        hands.online(unit, "part_stage", {"part": parts[1], "stage": stage, "since": since, "label": parts[1]})
    hands.online(unit, "part_put_back", {"part": parts[2], "reason": "fits as it is"})
    hands.online(unit, "mixup_stopped", {"part": parts[0], "stage": "washed", "six": "047002"})
    return [f"/parts/{part}" for part in parts]


def _readings(full: Full) -> list[str]:
    """One that passes and one that does not; the addresses of their pages."""
    plant, unit = full.plant, full.units[0]
    found = []
    for film in (1040, 3100):
        found.append(key := new_id())
        told = {"reading": key, "what": "film", "part": "cab_door_left", "method": "magnetic", "film": film}
        plant.per.online(unit, "reading_taken", told)
    dew = {"reading": new_id(), "what": "dew", "air": 200, "surface": 190, "humidity": 600}
    plant.per.online(unit, "reading_taken", dew)
    return [f"/readings/{key}" for key in (*found, dew["reading"])]


def _outlines(full: Full, desk: Desk) -> tuple[outline.Outline, str]:
    """One of the plant's own for a model, and the address of a drawing that waits to be kept."""
    own = outline_numbers.make(replace(outline_numbers.OURS, sliding_door="left"), "Halden's own")
    for event, body in (
        ("outline_published", {"hash": own.hash, "content": own.to_svg(), "own": True}),
        ("outline_assigned", {"make": "Brennach", "model": "Tourer 6", "outline": own.hash}),
    ):
        full.journal.record(full.plant.maud.ticket, PLANT, event, body)
    styled = outline.builtin().to_svg().replace("<svg ", '<svg style="color:red" ', 1)
    answer = desk.send("/setup/outlines/drawing", file=(io.BytesIO(styled.encode()), "own.svg"))
    answer.close()
    return own, answer.location


def _units(full: Full) -> None:
    """To walk, in rework with a question and a concession, to look again, ready, signed and reopened; under way."""
    plant = full.plant
    fresh = plant.unit("047001", options=["roof fan"])
    busy = plant.unit("047002", due=plant.journal.clock() - 86_400_000)
    nib, dent, chip = done.walked(
        plant, busy, ("nib", "left.sliding_door_lower", {"size": 8, "count": 2}),
        ("dent", "right.cab_door_lower", {"size": 120}), ("chip", "left.cab_door_lower", {"size": 12}),
    )  # fmt: skip
    done.concession(plant, busy, chip)
    job = plant.per.jobs(busy)[0]
    plant.per.take(busy, job)
    plant.per.do(busy, "spot_not_found", {"job": job["id"], "marker": nib, "reason": "no nib here"})
    plant.zaneta.do(busy, "no_flaw_proposed", {"marker": dent, "job": None, "reason": "a reflection"})
    again = plant.unit("047003")
    done.walked(plant, again, ("swirl", "left.sliding_door_lower", {"size": 300}))
    done.put_right(plant, again)
    ready, signed = done.ready(plant, "047004"), done.ready(plant, "047005")
    client = full.client("ines")
    client.environ_base["HTTP_X_LAMPWALK"] = "1"
    assert done.sign(client, signed).status_code == 200
    done.issued(full.app, signed)
    done.late_marker(plant, signed)
    walking = plant.unit("047006", due=None)
    plant.lukasz.start_walk(walking)
    full.units = [fresh, busy, again, ready, signed, walking]


def _tablets(full: Full, desk: Desk) -> None:
    """One shut out with something refused and brought in by hand, one named; a code that waits, and an outbox file."""
    plant = full.plant
    lost = full.app.test_client()
    lost.environ_base["HTTP_X_LAMPWALK"] = "1"
    lost.post("/sign-in", json={"person": plant.people["ines"], "pin": PIN})
    me = lost.get("/me").json
    desk.send(f"/setup/tablets/{me['tablet']}", name="Booth 2")
    desk.send(f"/setup/tablets/{me['tablet']}/out", page="/setup/tablets/new")
    began = {
        "id": "00000000-0000-7000-9000-000000000001", "stream": f"unit:{full.units[0]}", "type": "walk_started",
        "tablet": me["tablet"], "seq": 1, "ticket": me["ticket"], "at": me["now"],
        "body": {"walk": "00000000-0000-7000-8000-000000000001", "purpose": "first"},
    }  # fmt: skip
    lost.post("/sync", json={"events": [began], "tickets": [me["token"]], "pending": 0})
    file = {
        "format": "lampwalk-outbox", "version": 1, "tablet": me["tablet"], "saved_at": me["now"],
        "tickets": [me["token"]], "events": [began], "photos": [],
    }  # fmt: skip
    brought = desk.send("/setup/outbox", file=(io.BytesIO(json.dumps(file).encode()), "lampwalk-outbox-B.json"))
    code = desk.send("/setup/tablets/new", name="Booth 3")
    full.found |= {
        "/setup/tablets/<key>": [f"/setup/tablets/{key}" for key in (me["tablet"], plant.per.tablet)],
        "/setup/tablets/codes/<key>": [code.location],
        "/setup/outbox/<key>": [brought.location],
    }
