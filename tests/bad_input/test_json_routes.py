"""The JSON routes under fire: what docs/openapi.yaml allows and what it forbids, as each role and as nobody.

schemathesis makes the requests from the document, and holds each answer against it. Half of them name things that exist,
or no request would get past the first question.
"""

from __future__ import annotations

import json
from contextlib import suppress
from functools import cache
from typing import Any

import pytest
from flask.testing import FlaskClient
from fuzz import DOCUMENT, documented, some
from ground import Ground, is_a_sentence, is_refused, ours
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable

FOR_BOTH = {
    "GET /units/find",
    "GET /sheets/{unit}/{revision}.pdf",
}  # a person is answered with a page, or sent to sign in
ASKED = [
    pytest.param(f"{method.upper()} {path}", mode, id=f"{method.upper()} {path} {mode}")
    for path, item in DOCUMENT["paths"].items()
    for method, told in item.items()
    if method in {"delete", "get", "head", "patch", "post", "put"}
    for mode in ("positive", "negative")
    # Of what takes nothing, nothing can be asked in a forbidden way.
    if mode == "positive" or "requestBody" in told or item.get("parameters") or told.get("parameters")
]


@cache
def conform() -> list[Any]:
    """What each answer is held against."""
    from schemathesis.checks import CHECKS, load_all_checks

    load_all_checks()
    whats = ("status_code", "content_type", "response_schema", "response_headers")
    return [*(CHECKS.get_one(f"{what}_conformance") for what in whats), CHECKS.get_one("not_a_server_error")]


def real(ground: Ground, path: str) -> dict[str, str]:
    """Names of things that exist, for the gaps in an address."""
    if path.startswith("/photos/"):
        return {"key": ground.photo}
    if path.startswith("/concessions/"):
        return {"key": ground.concession}
    if path.startswith(("/catalogues/", "/outlines/")):
        table = path.split("/")[1]
        return {"key": ground.journal.read().execute(f"SELECT hash FROM {table}").fetchone()["hash"]}
    return {"key": ground.unit, "unit": ground.unit, "revision": "A", "gate": "identity"}


def is_as_documented(answer: Any, case: Any) -> None:
    """No fault, no redirect, nothing undocumented; every error in its one shape, with a sentence."""
    assert not 300 <= answer.status_code < 400 or answer.status_code == 304, answer.headers
    if answer.status_code >= 400:
        body = answer.json()
        assert set(body) == {"error"}
        assert set(body["error"]) == {"code", "message", "field"}
        is_a_sentence(body["error"]["message"])
    case.validate_response(answer, checks=conform())


@pytest.fixture(scope="module")
def sessions(ground: Ground) -> dict[str, FlaskClient]:
    """Each role and nobody, without the header of our pages: it is sent where the document says so."""
    for client in ground.clients.values():
        del client.environ_base["HTTP_X_LAMPWALK"]
    return ground.clients


def test_every_operation_of_the_document_is_asked():
    assert {asked.values[0] for asked in ASKED} == documented().keys()


@pytest.mark.parametrize(("label", "mode"), ASKED)
def test_whatever_is_asked_of_a_json_route_the_answer_is_as_documented(ground, sessions, label, mode):
    from schemathesis import GenerationMode

    operation, statuses = documented()[label], set()
    names, how = real(ground, operation.path), GenerationMode(mode)

    @some(10)
    @given(case=operation.as_strategy(generation_mode=how), exists=st.booleans(), own=st.booleans())
    def ask(case, exists, own):
        if exists:
            case.path_parameters |= {name: names[name] for name in case.path_parameters if name in names}
        if own and operation.method != "get":
            case.headers["X-Lampwalk"] = "1"
        case.headers["Accept-Encoding"] = (
            "identity"  # schemathesis unpacks nothing that comes from an application in process
        )
        if label in FOR_BOTH:
            case.headers["Accept"] = "application/json"
        for role, client in sessions.items():
            answer = case.call(app=ground.app, session=client)
            statuses.add((role, answer.status_code))
            is_as_documented(answer, case)

    with suppress(Unsatisfiable):
        ask()
    if not statuses:
        pytest.skip("whatever is sent here is allowed")
    asked_by_nobody = {status for role, status in statuses if role == "nobody"}
    is_open = DOCUMENT["paths"][operation.path][operation.method].get("security") == []
    assert is_open or asked_by_nobody <= {401, 403}
    assert {status for role, status in statuses if role != "nobody"} - {401}, "nobody got past the sign-in"


# ---------------------------------------------------------------------------------------------- what no document forbids


def posted(client: FlaskClient, path: str, body: object) -> Any:
    return ours(client).post(path, data=json.dumps(body), content_type="application/json")


@pytest.fixture
def no_tries_yet(ground: Ground) -> None:
    """Wrong PINs of the tests before, which would lock the door for those after."""
    ground.journal.note("DELETE FROM tries", ())


# Halves of letters (RFC 8259, section 8.2, lets them be written) cannot be stored or sent on.
ODD = [[], [1], "text", 5, None, {"person": 5}, {"person": "\ud800", "pin": "1"}, {"person": "x\0", "pin": "1"}]


@pytest.mark.usefixtures("no_tries_yet")
@pytest.mark.parametrize("body", ODD, ids=range(len(ODD)))
def test_a_sign_in_with_no_person_in_it_is_refused(ground, body):
    answer = posted(ground.app.test_client(), "/sign-in", body)

    assert is_refused(answer, 403, 422) in ("malformed", "wrong_pin")


@pytest.mark.usefixtures("no_tries_yet")
@pytest.mark.parametrize("pin", ["\ud800", "\0", 1357, None, ["1357"], "1357\n3", "1357" * 1_000_000])
def test_a_pin_that_nobody_can_type_is_refused_and_not_told_again(ground, pin, caplog):
    answer = posted(ground.app.test_client(), "/sign-in", {"person": ground.people["manager"], "pin": pin})

    assert is_refused(answer, 403, 422) in ("malformed", "wrong_pin")
    assert "1357" not in answer.text + caplog.text


@pytest.mark.parametrize(
    "body",
    [[], {"unit": "\ud800", "pending": 0}, {"unit": "x", "pending": 0}, {"pending": 0}, {"unit": None, "pending": 0}],
)
def test_a_tablet_that_puts_down_no_unit_is_told_so(ground, body):
    assert is_refused(posted(ground.clients["inspector"], "/presence/left", body), 422) == "malformed"


@pytest.mark.parametrize("pending", [True, -1, 0.5, "0", None, float("nan")])
def test_a_tablet_that_does_not_say_how_much_is_unsent_has_not_reported(ground, pending):
    body = {"unit": ground.unit, "pending": pending}

    assert is_refused(posted(ground.clients["inspector"], "/presence/left", body), 422) == "malformed"


@pytest.mark.parametrize("query", ["since=-1", "since=1e3", "since=٣", "since=9999999999999999", "pending=-1", "pending=yes", "pending="])  # fmt: skip
def test_a_question_for_changes_that_names_no_number_is_refused(ground, query):
    assert is_refused(ours(ground.clients["inspector"]).get(f"/changes?{query}"), 422) == "malformed"
