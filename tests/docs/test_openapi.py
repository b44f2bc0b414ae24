"""docs/openapi.yaml is OpenAPI 3.1, and says of the JSON routes what the application does."""

from __future__ import annotations

import inspect
import json
import re
from http.client import HTTPConnection
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from write_openapi import PAGE, schemas, written
from write_reference import DOORS, routes

from inspect_app.journal.bodies import UNIT_BODIES
from sample_units.hands import new_id

TEXT = PAGE.read_text("utf-8")
DOCUMENT = yaml.load(TEXT, yaml.CSafeLoader)
METHODS = {"get", "post", "put", "patch", "delete"}
TOLD = {
    (method.upper(), path): told
    for path, item in DOCUMENT["paths"].items()
    for method, told in item.items()
    if method in METHODS
}
# Files that tablets and people fetch with an address of their own; other files (CSV, scripts) have no JSON to describe.
FILES = {("GET", "/photos/<key>"), ("GET", "/sheets/<unit>/<revision>.pdf")}


def plain(rule: str) -> str:
    """A rule of Flask's as OpenAPI writes it."""
    return re.sub(r"<(?:path:)?(\w+)>", r"{\1}", rule)


def fits(name: str, value: Any) -> None:
    """Hold a value against a schema of the document."""
    Draft202012Validator({"$ref": f"#/components/schemas/{name}", "components": DOCUMENT["components"]}).validate(value)


def is_error(answer: Any, status: int) -> str:
    """Hold an answer against the one error shape and return its code."""
    assert answer.status_code == status, answer.text
    fits("Error", answer.json)
    return answer.json["error"]["code"]


def test_the_document_is_openapi_3_1():
    assert DOCUMENT["openapi"].startswith("3.1")
    from openapi_spec_validator import validate

    validate(DOCUMENT)  # openapi-spec-validator: the OpenAPI Initiative's own schema of 3.1


def test_every_json_route_is_in_the_document_and_no_other(app):
    json_routes = {(m, plain(r)) for (m, r), d in DOORS.items() if "JSON" in d.kind or (m, r) in FILES}

    assert json_routes <= {(method, plain(rule)) for method, rule in routes(app)}
    assert sorted(json_routes - TOLD.keys()) == [], "not in docs/openapi.yaml"
    assert sorted(TOLD.keys() - json_routes) == [], "in docs/openapi.yaml, and no route"


def test_whatever_answers_with_json_is_called_a_json_route(app):
    answering = {key for key, end in routes(app).items() if "jsonify" in inspect.getsource(app.view_functions[end])}

    assert ("POST", "/sync") in answering
    assert [key for key in answering if "JSON" not in DOORS[key].kind and key != ("GET", "/sign-in")] == []


def test_what_is_open_without_a_sign_in_is_said_to_be():
    wrong = [
        key
        for key, door in DOORS.items()
        for told in [TOLD.get((key[0], plain(key[1])))]
        if told is not None and (told.get("security") == []) != ("nobody" in door.who)
    ]

    assert wrong == []


def test_every_route_that_asks_for_a_sign_in_says_401_and_every_write_403():
    guarded = [key for key, told in TOLD.items() if told.get("security") != []]

    assert [key for key in guarded if "401" not in TOLD[key]["responses"]] == []
    assert [key for key in TOLD if key[0] != "GET" and "403" not in TOLD[key]["responses"]] == []


def test_the_schemas_of_bodies_are_those_that_check_them():
    assert written(TEXT) == TEXT, "run: .venv/bin/python -m tests.docs.write_openapi"
    for name, schema in schemas().items():
        assert DOCUMENT["components"]["schemas"][name] == schema


@pytest.mark.parametrize("event", UNIT_BODIES)
def test_the_schema_of_an_event_refuses_a_field_it_does_not_know(event):
    schema = DOCUMENT["components"]["schemas"][event]

    assert not Draft202012Validator(schema).is_valid({"colour_of_the_sky": "grey"})


# ---------------------------------------------------------------------------------------------- real answers


def test_what_the_tablet_routes_answer_is_what_the_document_says(plant, client_as):
    ines, unit = client_as("ines"), plant.unit()
    me = ines.get("/me").json
    outline = plant.row("units", unit)["outline"]

    fits("Me", me)
    fits("Health", ines.get("/healthz").json)
    fits("Changes", ines.get("/changes").json)
    fits("Changes", ines.get(f"/changes?unit={unit}").json)
    fits("Lifecycle", ines.get("/lifecycle.json").json)
    fits("Judgement", ines.get("/judgement.json").json)
    fits("Catalogue", ines.get("/catalogues/current.json").json)
    fits("Outline", ines.get(f"/outlines/{outline}.json").json)
    assert ines.post("/presence/left", json={"unit": unit, "pending": 0}).json == {"noted": True}


def test_an_event_as_a_tablet_sends_it_fits_its_schemas_and_so_does_its_answer(plant, client_as):
    ines, unit = client_as("ines"), plant.unit()
    me = ines.get("/me").json
    header = {"tablet": me["tablet"], "ticket": me["ticket"], "at": me["now"], "offset": 0}
    body = {"walk": new_id(), "purpose": "first"}
    good = {"id": new_id(), "stream": f"unit:{unit}", "type": "walk_started", "seq": 1, "body": body, **header}
    bad = {**good, "id": new_id(), "type": "walk_begun"}
    sync = {"tablet": me["tablet"], "pending": 0, "tickets": [me["token"]], "events": [good, bad]}
    fits("Sync", sync)
    fits("walk_started", body)
    answer = ines.post("/sync", json=sync).json
    fits("Synced", answer)

    assert [one["outcome"] for one in answer["answers"]] == ["applied", "refused"]


def test_what_the_desk_routes_answer_is_what_the_document_says(plant, client_as):
    ines, unit = client_as("ines"), plant.unit()
    fits("Standing", ines.get(f"/sign-off/{unit}/now").json)
    fits("Standing", ines.post(f"/sign-off/{unit}/gates/identity", json={}).json)
    found = ines.get("/units/find?last6=047312").json
    fits("Found", found)

    assert [one["id"] for one in found["units"]] == [unit]


def test_every_kind_of_error_has_the_one_shape(app, plant, client_as):
    ines, per, unit = client_as("ines"), client_as("per"), plant.unit()
    nobody = app.test_client()

    assert is_error(nobody.get("/me"), 401) == "sign_in"
    assert is_error(nobody.post("/sync", json={}), 403) == "header"
    assert is_error(per.post(f"/sign-off/{unit}/sign", json={}), 403) == "roles"
    assert is_error(ines.get("/changes?unit=none"), 404) == "no_unit"
    assert is_error(ines.get(f"/catalogues/{'0' * 64}.json"), 404) == "no_version"
    assert is_error(ines.get("/nowhere"), 404) == "http_404"
    assert is_error(ines.get("/sync"), 405) == "http_405"
    assert is_error(ines.post("/sync", data="{", content_type="application/json"), 422) == "malformed"
    assert is_error(ines.get("/changes?since=yesterday"), 422) == "malformed"
    assert is_error(ines.post("/sync", json={"events": [{}] * 501, "tickets": []}), 413) == "too_many"
    assert is_error(ines.put(f"/photos/{new_id()}", data=b"x"), 404) == "not_announced"


def test_what_is_not_as_it_was_is_a_conflict_in_the_one_shape(plant, client_as):
    ines, unit = client_as("ines"), plant.unit()
    sign = {"pin": "2580", "strokes": [[[0, 0], [900, 900]]], "expected_head": "0" * 64}

    assert is_error(ines.post(f"/sign-off/{unit}/sign", json=sign), 409) == "head_as_seen"


def test_a_body_that_is_too_large_is_told_so_in_the_one_shape(served, plant):
    # From the shell before the application, through a real socket: 11 MB of JSON, where 10 are taken.
    connection = HTTPConnection(served.removeprefix("http://"), timeout=60)
    connection.request("POST", "/sync", b"[" + b" " * 11 * 2**20 + b"]", {"Content-Type": "application/json"})
    answer = connection.getresponse()
    fits("Error", json.loads(answer.read()))
    connection.close()

    assert answer.status == 413


def test_a_fault_of_the_server_has_the_shape_too_and_tells_nothing_of_its_inside(app, client_as, monkeypatch):
    ines = client_as("ines")
    monkeypatch.setitem(app.view_functions, "sync.me", lambda: 1 / 0)
    answer = ines.get("/me")

    assert is_error(answer, 500) == "fault"
    assert "division" not in answer.text
