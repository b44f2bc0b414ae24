"""Every route as every role, and what a request must carry before it is listened to."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable, Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.routing import Map, Rule
from who_may import ANYONE, BOTH, DOORS, JSON, OPEN, PAGE, routes

from inspect_app import create_app
from inspect_app.rooms import edition
from inspect_app.rooms.people.pins import hash_pin
from inspect_app.words.languages import languages

PIN = "2580"
ROLES = ("inspector", "technician", "manager")
OURS = {"X-Lampwalk": "1", "Accept": "application/json"}
GUARDED = {key: door for key, door in DOORS.items() if door.who != OPEN}
WRITES = [key for key in DOORS if key[0] != "GET"]


class House:
    """The application with one person of each role alone, signed in, and one unit."""

    def __init__(self, app: Flask):
        from sample_units.hands import Hands, admit, hire

        self.app = app
        journal = app.extensions["lampwalk"].journal
        hashed = hash_pin(PIN)
        self.people = {
            role: hire(journal, role.title(), (role,), ("paint",) if role == "technician" else (), pin_hash=hashed)
            for role in ROLES
        }
        hands = Hands(journal, self.people["manager"], admit(journal), ("manager",))
        self.unit = hands.arrive(
            chassis="ZZBRT6L10KA047312", plant="Halden yard", build_number="HB-1", make="Brennach", model="Tourer 6",
            colour="Fjord grey", finish="solid",
        )  # fmt: skip
        self.clients = {role: self.signed_in(role) for role in ROLES}
        self.clients["nobody"] = app.test_client()

    def signed_in(self, role: str) -> FlaskClient:
        client = self.app.test_client()
        answer = client.post("/sign-in", json={"person": self.people[role], "pin": PIN}, headers=OURS)
        assert answer.status_code == 200, answer.text
        return client

    def address(self, rule: str) -> str:
        """A rule with its gaps filled: our unit where a unit is meant, something harmless elsewhere."""
        fills = {
            "path:path": "sign_in.js" if "/rooms/" in rule else "theme.js",
            "edition": languages()["en"].edition if "/words/" in rule else edition.name(),
            "language": "en",
            "room": "people",
            "gate": "moon",  # who confirms a gate is the catalogue's to say; one that is not there is nobody's
            "part": "kinds",
            "revision": "A",
            "page": "walk",
        }
        unit = {"key", "unit"} if rule.startswith(("/units/", "/sign-off/", "/walk/", "/again/", "/sheets/")) else set()
        return re.sub(
            r"<([^>]+)>", lambda gap: self.unit if gap[1] in unit else fills.get(gap[1], "nothing-of-that-name"), rule
        )

    def ask(self, role: str, method: str, rule: str, headers: dict[str, str] | None = None):  # type: ignore[no-untyped-def]
        headers = OURS if headers is None else headers
        return self.clients[role].open(self.address(rule), method=method, headers=headers)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    app = create_app(tmp_path_factory.mktemp("doors") / "data")
    yield House(app)
    app.extensions["lampwalk"].close()


def named(key: tuple[str, str]) -> str:
    return " ".join(key)


# ---------------------------------------------------------------------------------------------- every route, every role


def test_every_route_is_in_the_table_of_who_may(app):
    found = set(routes(app))

    assert sorted(found - DOORS.keys()) == [], "new routes: say in who_may.py who may use them"
    assert sorted(DOORS.keys() - found) == [], "routes that are gone: take them off who_may.py"


@pytest.mark.parametrize("key", GUARDED, ids=named)
def test_nobody_is_asked_to_sign_in(house, key):
    answer = house.ask("nobody", *key)

    assert (answer.status_code, answer.json["error"]["code"]) == (401, "sign_in")


@pytest.mark.parametrize(
    "key", [key for key, door in GUARDED.items() if key[0] == "GET" and door.kind == PAGE], ids=named
)
def test_a_page_sends_nobody_to_the_sign_in_and_back_again(house, key):
    answer = house.ask("nobody", *key, headers={"Accept": "text/html"})

    assert answer.status_code == 302
    assert answer.location == f"/sign-in?next={house.address(key[1])}"


@pytest.mark.parametrize(
    "key",
    [key for key, door in GUARDED.items() if door.kind == JSON],
    ids=named,
)
def test_a_json_route_never_redirects(house, key):
    answer = house.ask("nobody", *key, headers={"X-Lampwalk": "1"} if key[0] != "GET" else {})

    assert answer.status_code == 401
    assert answer.is_json


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("key", [key for key, door in DOORS.items() if door.who not in (OPEN, ANYONE)], ids=named)
def test_a_route_is_for_the_roles_it_is_for(house, key, role):
    answer = house.ask(role, *key)
    refused = answer.status_code == 403 and answer.json["error"]["code"] == "roles"

    assert refused == (role not in DOORS[key].who)
    assert answer.status_code != 401
    assert answer.status_code < 500


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize(
    "key", [key for key in DOORS if DOORS[key].who == ANYONE and "sign-out" not in key[1]], ids=named
)
def test_whoever_is_signed_in_may_use_what_is_for_anyone(house, key, role):
    assert house.ask(role, *key).status_code not in (401, 403, 405, 500)


@pytest.mark.parametrize("key", [key for key in DOORS if DOORS[key].who == OPEN], ids=named)
def test_what_is_open_is_open_to_nobody(house, key):
    assert house.ask("nobody", *key).status_code in (
        (403,) if key in {("POST", "/sign-in"), ("POST", "/admit")} else (200, 302, 422)
    )


def test_a_wrong_pin_is_told_as_json_to_the_panel_and_as_a_page_to_a_form(house):
    client = house.app.test_client()
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', client.get("/sign-in").text)[1]
    form = {"person": house.people["inspector"], "pin": "1357", "csrf_token": token}
    panel = client.post("/sign-in", json={"person": house.people["inspector"], "pin": "1357"}, headers=OURS)
    page = client.post("/sign-in", data=form)

    assert (panel.status_code, panel.json["error"]["code"]) == (403, "wrong_pin")
    assert (page.status_code, page.mimetype) == (403, "text/html")
    assert "not the PIN" in page.text


# ---------------------------------------------------------------------------------------------- our own page only


@pytest.mark.parametrize("key", WRITES, ids=named)
def test_a_write_from_another_site_is_refused(house, key):
    answer = house.ask("manager", *key, headers={**OURS, "Origin": "https://elsewhere.test"})

    assert (answer.status_code, answer.json["error"]["code"]) == (403, "origin")


@pytest.mark.parametrize("origin", ["null", "http://localhost:1", "http://localhost.elsewhere.test", "file://"])
def test_an_origin_that_only_looks_like_ours_is_refused(house, origin):
    answer = house.ask("manager", "POST", "/presence/left", headers={**OURS, "Origin": origin})

    assert answer.json["error"]["code"] == "origin"


def test_our_own_origin_is_let_in(house):
    answer = house.ask("inspector", "POST", "/presence/left", headers={**OURS, "Origin": "http://localhost"})

    assert (answer.status_code, answer.json["error"]["code"]) == (422, "malformed")


@pytest.mark.parametrize("key", [key for key in WRITES if DOORS[key].kind in (JSON, BOTH)], ids=named)
def test_a_json_write_without_our_header_is_refused(house, key):
    answer = house.clients["manager"].open(house.address(key[1]), method=key[0], json={})

    assert (answer.status_code, answer.json["error"]["code"]) == (403, "header")


@pytest.mark.parametrize("key", [key for key in WRITES if DOORS[key].kind in (PAGE, BOTH)], ids=named)
def test_a_form_without_its_token_is_refused(house, key):
    answer = house.clients["manager"].open(house.address(key[1]), method=key[0], data={"name": "x"})

    assert answer.status_code == 403
    assert "grown old" in answer.text


def test_the_token_of_another_session_is_refused(house):
    page = house.clients["nobody"].get("/sign-in").text
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', page)[1]
    answer = house.clients["manager"].post("/sign-out", data={"csrf_token": token})

    assert answer.status_code == 403
    assert house.clients["manager"].get("/me", headers=OURS).status_code == 200


@pytest.mark.parametrize("address", ["/sign-off//x/now", "/photos//x", "/changes/"])
def test_an_address_with_a_slash_too_many_is_no_address_and_leads_nowhere(house, address):
    answer = house.clients["inspector"].get(address, headers=OURS)

    assert (answer.status_code, answer.is_json) == (404, True)


@pytest.mark.parametrize(
    "body", ["[]", '"x"', '{"person": ["a"], "pin": "1"}', '{"person": "\\ud800", "pin": "1"}', "[" * 50_000]
)
@pytest.mark.parametrize("address", ["/sign-in", "/presence/left", "/sync"])
def test_json_of_any_shape_is_refused_in_a_sentence(house, address, body):
    answer = house.clients["inspector"].post(address, data=body, content_type="application/json", headers=OURS)

    assert answer.status_code in (400, 403, 422)
    assert answer.json["error"]["message"].endswith(("update the tablet.", "reload the page.", "try again."))


def test_a_ticket_of_broken_text_is_no_ticket(house):
    sent = {"events": [], "tickets": ["\ud800", "x"]}

    assert house.clients["inspector"].post("/sync", json=sent, headers=OURS).status_code == 200


def test_a_program_that_signs_in_to_an_empty_plant_is_told_so_and_sent_nowhere(app):
    answer = app.test_client().post("/sign-in", json={"person": "x", "pin": "2580"}, headers=OURS)

    assert (answer.status_code, answer.json["error"]["code"]) == (409, "nobody")


# ---------------------------------------------------------------------------------------------- headers and cookies


@pytest.mark.parametrize("address", ["/sign-in", "/", "/me", "/nowhere", "/client/pictograms.svg"])
def test_every_answer_carries_the_headers_that_keep_strangers_out(house, address):
    headers = house.clients["inspector"].get(address).headers
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))

    assert policy["default-src"] == "'none'"
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert (policy["frame-ancestors"], policy["base-uri"]) == ("'none'", "'none'")
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"


@pytest.mark.parametrize("start", ["", f"/e/{edition.name()}"])
@pytest.mark.parametrize("path", ["/client/theme.js", "/rooms/walk/walk.css"])
def test_scripts_and_styles_say_what_they_are_and_carry_nothing_that_only_acts_on_pages(house, start, path):
    headers = house.clients["inspector"].get(start + path).headers

    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Content-Type"] == f"text/{'css' if path.endswith('css') else 'javascript'}; charset=utf-8"
    assert {"Content-Security-Policy", "Permissions-Policy", "Referrer-Policy", "Set-Cookie"} & set(
        headers.keys()
    ) == set()
    assert "Cookie" not in headers.get("Vary", "")


def test_what_is_about_people_and_units_is_not_left_in_a_shared_cache(house):
    for address in ("/", "/me", f"/units/{house.unit}", "/changes"):
        assert house.clients["inspector"].get(address).headers["Cache-Control"] == "no-store"


def test_cookies_cannot_be_read_by_scripts_or_sent_from_other_sites(house):
    client = house.app.test_client()
    answer = client.post("/sign-in", json={"person": house.people["inspector"], "pin": PIN}, headers=OURS)
    cookies = answer.headers.getlist("Set-Cookie")

    assert {cookie.split("=")[0] for cookie in cookies} == {"lampwalk", "lampwalk_tablet"}
    assert all("HttpOnly" in cookie and "SameSite=Lax" in cookie for cookie in cookies)


def signed_in_by(house, scheme: str) -> tuple[FlaskClient, list[str]]:
    """A client signed in over http or https, and the cookies it was given."""
    client = house.app.test_client()
    asked = {"json": {"person": house.people["inspector"], "pin": PIN}, "headers": OURS}
    answer = client.post("/sign-in", base_url=f"{scheme}://localhost", **asked)
    return client, answer.headers.getlist("Set-Cookie")


def test_over_https_the_cookies_go_over_https_only_and_to_this_host_only(house):
    client, cookies = signed_in_by(house, "https")

    # RFC 6265bis: a name that begins with __Host- is taken only if it is Secure, for the path / and for no domain.
    assert {cookie.split("=")[0] for cookie in cookies} == {"__Host-lampwalk", "__Host-lampwalk_tablet"}
    assert all({"Secure", "HttpOnly", "Path=/", "SameSite=Lax"} <= set(cookie.split("; ")) for cookie in cookies)
    assert not any("Domain" in cookie for cookie in cookies)
    assert client.get("/me", base_url="https://localhost").status_code == 200
    assert client.get("/me", base_url="http://localhost", headers=OURS).status_code == 401


def test_over_plain_http_no_cookie_is_secure_or_the_browser_would_drop_it(house):
    _, cookies = signed_in_by(house, "http")

    assert not any("Secure" in cookie or "__Host-" in cookie for cookie in cookies)


def test_a_tablet_keeps_its_letters_at_its_next_sign_in_over_https(house):
    client, _ = signed_in_by(house, "https")
    before = client.get("/me", base_url="https://localhost").json["tablet"]
    asked = {"json": {"person": house.people["manager"], "pin": PIN}, "headers": OURS}

    assert client.post("/sign-in", base_url="https://localhost", **asked).json["tablet"] == before


def test_a_cookie_that_was_changed_is_no_sign_in(house):
    client = house.signed_in("inspector")
    cookie = client.get_cookie("lampwalk").value
    client.set_cookie("lampwalk", cookie[:-4] + ("AAAA" if not cookie.endswith("AAAA") else "BBBB"))

    assert client.get("/me", headers=OURS).status_code == 401


# ---------------------------------------------------------------------------------------------- those who left, the log


@pytest.fixture
def ines(client_as: Callable[[str], FlaskClient]) -> FlaskClient:
    return client_as("ines")


def test_whoever_has_left_is_out_at_once(ines, plant):
    assert ines.get("/me").status_code == 200
    body = {"person": plant.people["ines"], "roles": ["inspector"], "departments": [], "state": "left"}
    row = plant.row("people", plant.people["ines"])
    plant.journal.record_server(
        "plant", "person_changed", body, private={"name": row["name"], "pin_hash": row["pin_hash"]}
    )

    assert ines.get("/me").status_code == 401


def test_refusals_are_logged_with_who_and_what_and_without_pins(app, plant, client_as, caplog):
    per = client_as("per")
    unit = plant.unit()
    with caplog.at_level(logging.INFO, "lampwalk"):
        per.post(f"/sign-off/{unit}/sign", json={"pin": "97531", "strokes": [], "expected_head": "0" * 64})
        per.post("/presence/left", json={}, headers={"Origin": "https://elsewhere.test"})
        app.test_client().post(
            "/sign-in", json={"person": plant.people["ines"], "pin": "86420"}, headers={"X-Lampwalk": "1"}
        )

    assert f"signoff.sign was refused to {plant.people['per']}" in caplog.text
    assert "a write from https://elsewhere.test to walk.left was refused" in caplog.text
    assert f"a wrong PIN for {plant.people['ines']}" in caplog.text
    assert "97531" not in caplog.text
    assert "86420" not in caplog.text


def test_a_wrong_pin_at_the_signing_counts_as_a_wrong_pin(plant, client_as):
    ines = client_as("ines")
    asked = {"pin": "9999", "strokes": [[[0, 0], [900, 900]]], "expected_head": "0" * 64}
    unit = plant.unit()
    codes = [ines.post(f"/sign-off/{unit}/sign", json=asked).json["error"]["code"] for _ in range(4)]

    assert codes == ["wrong_pin", "wrong_pin", "wrong_pin", "locked"]


@pytest.mark.parametrize(
    ("method", "path", "status"), [("GET", "/sync", 405), ("DELETE", "/me", 405), ("GET", "/photos/x/y", 404)]
)
def test_what_a_json_address_does_not_take_is_said_in_json(client_as, method, path, status):
    client = client_as("ines")
    headers = {"Origin": "http://localhost"} if method != "GET" else {}
    answer = client.open(path, method=method, headers=headers)

    assert (answer.status_code, answer.is_json) == (status, True)
    assert answer.json["error"]["message"]


def test_every_address_is_written_as_werkzeug_writes_it(app):
    # Outside: werkzeug.routing.Rule, of which ours is one that is compiled later.
    filled = lambda rule: dict.fromkeys(rule.arguments, "a b/ü")  # noqa: E731
    rules = list(app.url_map.iter_rules())
    plain = Map([Rule(rule.rule, endpoint=rule.endpoint, methods=rule.methods) for rule in rules])
    theirs, ours = plain.bind("van.test"), app.url_map.bind("van.test")

    assert len(rules) > 100
    for rule in rules:
        for values in (filled(rule), {**filled(rule), "rule": "1", "more": "&"}):
            assert ours.build(rule.endpoint, values) == theirs.build(rule.endpoint, values)
