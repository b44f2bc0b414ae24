"""Events that no tablet of ours would send. Each is refused with a sentence; nothing of it reaches the history."""

from __future__ import annotations

import json
import logging

import pytest
from ground import Ground, is_a_sentence, is_refused

from inspect_app.journal.tickets import SHIFT_MS, TicketOffice
from sample_units.hands import new_id

SECRET = "the customer's own words"
HUGE = "x" * 9_500_000
NAN = float("nan")
GOOD = object()


@pytest.fixture(autouse=True)
def _nothing_is_kept_and_no_secret_is_logged(ground: Ground, caplog):
    """Everything in this file: the history stands as before, and the log has neither words, nor tokens, nor tickets."""
    before = ground.kept()
    caplog.set_level(logging.DEBUG, "lampwalk")
    yield
    assert ground.kept() == before
    assert SECRET not in caplog.text
    assert not [one for one in tokens(ground) if one in caplog.text or one.split(".")[-1] in caplog.text]
    assert "Traceback" not in caplog.text
    assert all(len(line) < 400 for line in caplog.text.splitlines())


def tokens(ground: Ground) -> list[str]:
    told = [client.get("/me") for client in ground.clients.values()]
    return [answer.json.get("token") or "-no-token-" for answer in told if answer.status_code == 200]


def event(ground: Ground, event_type="zone_looked", body=GOOD, **header):
    """An event that would be taken if nothing were wrong with it."""
    me = ground.clients["inspector"].get("/me").json
    body = {"walk": ground.walk, "zone": "left.cab_door_lower", "lap": "lamp"} if body is GOOD else body
    base = {"id": new_id(), "stream": f"unit:{ground.unit}", "type": event_type, "tablet": me["tablet"], "seq": 1}
    return {
        **base,
        "ticket": me["ticket"],
        "at": me["now"],
        "offset": 0,
        "body": body,
        "private": {"note": SECRET},
        **header,
    }


def sent(ground: Ground, *events, tickets=None, **more):
    """The answer to a sync of these events, written by the standard library: it writes NaN and halves of letters too."""
    client = ground.clients["inspector"]
    tickets = [client.get("/me").json["token"]] if tickets is None else tickets
    text = json.dumps({"events": events, "tickets": tickets, **more})
    return client.post("/sync", data=text, content_type="application/json")


def refusal(ground: Ground, *events, **more) -> str:
    """Send one event that is to be refused, and return its code."""
    answer = sent(ground, *events, **more)
    assert answer.status_code == 200, answer.text[:300]
    (told,) = answer.json["answers"]
    assert told["outcome"] == "refused", told
    assert told["n"] is None
    is_a_sentence(told["reason"])
    assert SECRET not in answer.text
    return told["code"]


# ---------------------------------------------------------------------------------------------- shapes


HEADERS = {
    "a number for an id": {"id": 7},
    "an id of NULs": {"id": "\0" * 36},
    "an id with a line of log after it": {"id": "1\n2026-01-01 INFO all is well"},
    "an id of ten megabytes": {"id": HUGE},
    "a list for a type": {"type": ["zone_looked"]},
    "a type of ten megabytes": {"type": HUGE},
    "a type of the server": {"type": "photo_stored"},
    "the plant's stream": {"stream": "plant"},
    "a stream of dashes": {"stream": "unit:" + "-" * 36},
    "a unit that does not exist": {"stream": "unit:01a21372-f7f1-7291-8f6d-0779de9627a3"},
    "a stream on its way out": {"stream": "unit:../../../../../../../../../etc/passwd"},
    "a seq of yes": {"seq": True},
    "a seq of one and a half": {"seq": 1.5},
    "a seq below nothing": {"seq": -1},
    "a seq of 64 bits": {"seq": 2**63},
    "a seq of four thousand digits": {"seq": 10**4000},
    "a time that is no number": {"at": NAN},
    "an endless time": {"at": float("inf")},
    "a time of four thousand digits": {"at": 10**4000},
    "a time before all times": {"at": 0, "offset": -(2**53)},
    "no body": {"body": None},
    "a list for a body": {"body": []},
    "words for private words": {"private": SECRET},
    "a field of its own": {"person": "manager"},
    "a role of its own": {"roles": ["manager"]},
    "a field that is half a letter": {"\ud800": 1},
    "a catalogue nobody knows": {"type": "marker_made", "catalogue": "0" * 64},
}


@pytest.mark.parametrize("name", HEADERS)
def test_a_header_that_is_not_as_it_must_be_is_refused(ground, name):
    made = event(ground, **HEADERS[name])
    if HEADERS[name].get("type") == "marker_made":
        made["body"] = {
            "marker": new_id(),
            "tag": "B7",
            "kind": "chip",
            "view": "front",
            "x": 9000,
            "y": 14000,
            "size": 12,
        }

    assert refusal(ground, made)


BODIES = {
    "nothing": {},
    "a number for a zone": {"zone": 7},
    "ten megabytes for a zone": {"zone": HUGE},
    "ten megabytes for a name": {HUGE: 1},
    "NaN": {"found": NAN},
    "infinity": {"found": float("inf")},
    "a number of four thousand digits": {"found": 10**4000},
    "a number of 64 bits": {"found": 2**63},
    "less than nothing": {"found": -1},
    "half a letter": {"zone": "\ud800"},
    "half a letter for a name": {"\udfff": 1},
    "a NUL": {"zone": "left\0"},
    "thirty lists": {"zone": json.loads("[" * 30 + "]" * 30)},
    "a walk that does not exist": {"walk": "01a21372-f7f1-7291-8f6d-0779de9627a3"},
    "another person": {"person": "manager"},
}


@pytest.mark.parametrize("name", BODIES)
def test_a_body_that_is_not_as_it_must_be_is_refused(ground, name):
    good = event(ground)["body"]

    assert refusal(ground, event(ground, body={**good, **BODIES[name]} if BODIES[name] else {}))


PRIVATE = {
    "ten megabytes": {"note": SECRET + HUGE},
    "half a letter": {"note": SECRET + "\ud83d"},
    "a NUL": {"note": SECRET + "\0"},
    "a bell": {"reason": SECRET + "\x07"},
    "a list": {"note": [SECRET]},
    "a field of its own": {"diary": SECRET},
    "strokes with words": {"strokes": [[[SECRET, 1]]]},
    "endless strokes": {"strokes": [[[1, 10**400]]]},
}


@pytest.mark.parametrize("name", PRIVATE)
def test_private_words_that_cannot_be_kept_are_refused_and_not_told_again(ground, name):
    made = event(ground, private=PRIVATE[name])
    assert refusal(ground, made) == "malformed"
    row = ground.journal.read().execute("SELECT reason FROM refused WHERE id = ?", (made["id"],)).fetchone()

    assert SECRET not in row["reason"]


@pytest.mark.parametrize("raw", [1, None, "text", [], True, NAN, 10**4000, "\ud800", [[[[]]]]])
def test_what_is_no_event_at_all_is_refused(ground, raw):
    assert refusal(ground, raw) == "malformed"


def test_one_bad_event_does_not_cost_the_others_of_its_batch_their_answers(ground):
    answers = sent(ground, event(ground, seq=2**63), event(ground, id=5), event(ground, seq=10**400)).json["answers"]

    assert [one["outcome"] for one in answers] == ["refused"] * 3


# ---------------------------------------------------------------------------------------------- whole bodies


DEEP = 10_000
WHOLE = {
    "lists in lists": '{"events": ' + "[" * DEEP + "]" * DEEP + "}",
    "objects in objects": '{"events": [' + '{"a":' * DEEP + "1" + "}" * DEEP + "]}",
    "lists never closed": "[" * 100_000,
    "a hundred lists in an event": '{"events": [{"id": ' + "[" * 100 + "]" * 100 + "}]}",
    "nine hundred objects in an event": '{"events": [' + '{"a":' * 900 + "1" + "}" * 900 + "]}",
    "nothing": "",
    "half": '{"events": [',
    "a text": '"events"',
    "null": "null",
    "a number of five thousand digits": '{"events": [' + "9" * 5000 + "]}",
    "Latin-1": b'{"events": ["\xe9"]}',
    "a picture": b"\xff\xd8\xff\xe0",
    "no list": '{"events": {"0": {}}}',
    "tickets that are no texts": '{"events": [], "tickets": [1]}',
    "less than nothing unsent": '{"events": [], "pending": -1}',
    "yes unsent": '{"events": [], "pending": true}',
    "some unsent": '{"events": [], "pending": "some"}',
}


@pytest.mark.parametrize("name", WHOLE)
def test_a_sync_that_cannot_be_read_is_refused_whole(ground, name):
    answer = ground.clients["inspector"].post("/sync", data=WHOLE[name], content_type="application/json")

    assert is_refused(answer, 422) == "malformed"


@pytest.mark.parametrize("depth", [60, 150, 300, 600, 900, 960, 970, 980, 990, 1000])
def test_no_depth_of_nesting_is_a_fault_of_the_server(ground, depth):
    text = '{"events": [' + '{"a":' * depth + "1" + "}" * depth + '], "tickets": []}'
    answer = ground.clients["inspector"].post("/sync", data=text, content_type="application/json")

    assert answer.status_code in (200, 422), answer.text
    is_a_sentence(answer.json["answers"][0]["reason"] if answer.status_code == 200 else answer.json["error"]["message"])


def test_a_hundred_thousand_events_in_one_batch_are_refused_without_looking_at_them(ground, caplog):
    answer = sent(ground, *[{}] * 100_000)

    assert is_refused(answer, 413) == "too_many"
    assert len(caplog.records) < 5


def test_a_hundred_thousand_tickets_are_refused_without_a_line_of_log_for_each(ground, caplog):
    answer = sent(ground, tickets=["x"] * 100_000)

    assert is_refused(answer, 413) == "too_many"
    assert len(caplog.records) < 5


# ---------------------------------------------------------------------------------------------- times


def test_an_event_of_the_future_is_refused(ground):
    now = ground.journal.clock()

    assert refusal(ground, event(ground, at=now + 3_600_000)) == "future"
    assert refusal(ground, event(ground, at=now + 2 * SHIFT_MS)) == "outside_shift"
    assert refusal(ground, event(ground, at=2**53, offset=-1)) == "outside_shift"


def test_an_event_from_before_its_sign_in_is_refused(ground):
    assert refusal(ground, event(ground, at=ground.journal.clock() - 3_600_000)) == "outside_shift"


# ---------------------------------------------------------------------------------------------- tickets and persons


def foreign(ground: Ground) -> str:
    """A ticket as the server would write it, but by another key."""
    me = ground.clients["inspector"].get("/me").json
    ticket = ground.journal.tickets.read(me["token"])
    return TicketOffice("another key").write(ticket)


def tampered(token: str, at: int) -> str:
    return token[:at] + ("A" if token[at] != "A" else "B") + token[at + 1 :]


def test_a_ticket_with_one_letter_changed_proves_nothing(ground):
    token = ground.clients["inspector"].get("/me").json["token"]
    codes = {refusal(ground, event(ground), tickets=[tampered(token, at)]) for at in range(0, len(token) - 1, 9)}

    assert codes == {"no_ticket"}


TICKETS = ["", ".", "a.b", "é.é", "\ud800", "\0", HUGE, "." * 100_000, "eyJpZCI6MX0.x"]


@pytest.mark.parametrize("token", TICKETS, ids=range(len(TICKETS)))
def test_what_is_no_ticket_proves_nothing(ground, token):
    assert refusal(ground, event(ground), tickets=[token]) == "no_ticket"


def test_a_ticket_signed_with_another_key_proves_nothing(ground, caplog):
    assert refusal(ground, event(ground), tickets=[foreign(ground)]) == "no_ticket"
    assert "a ticket was refused: forged_ticket" in caplog.text


def test_the_cookie_of_a_session_is_no_ticket(ground):
    cookie = ground.clients["inspector"].get_cookie("lampwalk").value

    assert refusal(ground, event(ground), tickets=[cookie]) == "no_ticket"
    assert cookie


def test_the_ticket_of_somebody_else_is_of_no_use_without_its_token(ground):
    theirs = ground.clients["manager"].get("/me").json

    assert refusal(ground, event(ground, ticket=theirs["ticket"])) == "no_ticket"


def test_the_ticket_of_another_tablet_does_not_speak_for_this_one(ground):
    theirs = ground.clients["manager"].get("/me").json

    assert refusal(ground, event(ground, ticket=theirs["ticket"]), tickets=[theirs["token"]]) == "other_tablet"


def test_a_technician_does_not_mark_by_calling_themselves_an_inspector(ground):
    me = ground.clients["technician"].get("/me").json
    made = event(
        ground, "walk_started", {"walk": new_id(), "purpose": "first"}, tablet=me["tablet"], ticket=me["ticket"]
    )

    assert refusal(ground, made, tickets=[me["token"]]) == "roles"
    assert (
        refusal(ground, {**made, "id": new_id(), "person": ground.people["inspector"]}, tickets=[me["token"]])
        == "malformed"
    )


@pytest.mark.parametrize(
    "event_type", ["unit_arrived", "unit_signed", "unit_reopened", "gate_confirmed", "concession_agreed"]
)
def test_what_is_done_online_only_does_not_come_from_an_outbox(ground, event_type):
    assert refusal(ground, event(ground, event_type, {})) == "online"


@pytest.mark.parametrize("key", ["marker", "job", "concession"])
def test_a_photo_of_something_that_does_not_exist_or_is_on_another_unit_is_refused(ground, key):
    body = {"photo": new_id(), key: new_id(), "role": "found"}

    assert refusal(ground, event(ground, "photo_added", body, private=None)) == f"no_{key}"


def test_the_id_of_an_accepted_event_with_other_words_changes_nothing(ground):
    (key,) = ground.journal.read().execute("SELECT id FROM events WHERE type = 'marker_made' ORDER BY n").fetchone()

    assert refusal(ground, event(ground, id=key)) == "id_reused"
    assert (
        refusal(ground, event(ground, "marker_withdrawn", {"marker": ground.marker, "reason": "x"}, id=key))
        == "id_reused"
    )


# ---------------------------------------------------------------------------------------------- the log


def test_a_refused_event_leaves_one_line_that_says_from_which_tablet_and_why(ground, caplog):
    refusal(ground, event(ground, private={"note": SECRET + "\0"}))
    tablet = ground.clients["inspector"].get("/me").json["tablet"]
    lines = [record.getMessage() for record in caplog.records if "refused" in record.getMessage()]

    assert lines
    assert all(tablet in line and "malformed" in line for line in lines)


def test_no_name_from_outside_begins_a_line_of_the_log(ground, caplog):
    refusal(ground, event(ground, id="1\n2026-01-01 INFO all is well"))
    ground.clients["inspector"].get("/photos/1%0a2026-01-01%20INFO%20all%20is%20well")

    assert "all is well" in caplog.text
    assert not [line for record in caplog.records for line in record.getMessage().splitlines()[1:]]
