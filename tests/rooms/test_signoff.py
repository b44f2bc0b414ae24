"""Signing: against the head one saw, by PIN, with every gate held; and what stays true afterwards."""

import pytest
from signed_units import STROKES, concession, issued, late_marker, ready, sign, walked

from sample_units.hands import new_id


@pytest.fixture
def unit(plant):
    return ready(plant)


def test_an_inspector_signs_with_strokes_and_pin_and_the_unit_is_closed(app, plant, client_as, unit):
    answer = sign(client_as("ines"), unit)

    assert (answer.status_code, answer.json["state"], answer.json["revision"]) == (200, "signed", "A")
    assert plant.row("units", unit)["stage"] == "signed"
    assert issued(app, unit)["state"] == "issued"


def test_a_signature_against_a_head_that_has_moved_is_refused_in_words(plant, client_as, unit):
    client = client_as("ines")
    seen = client.get(f"/sign-off/{unit}/now").json["head"]
    plant.lukasz.do(unit, "origin_revised", {"marker": plant.rows("markers", unit)[0]["id"], "origin": "trim"})

    answer = sign(client, unit, expected_head=seen)

    assert answer.status_code == 409
    assert "Something has happened to this unit since" in answer.json["error"]["message"]
    assert plant.row("units", unit)["state"] == "open"


def test_a_wrong_pin_is_refused_and_many_of_them_have_to_wait(plant, client_as, unit):
    client = client_as("ines")

    told = [sign(client, unit, pin="9137").json["error"] for _ in range(4)]

    assert [one["code"] for one in told] == ["wrong_pin"] * 3 + ["locked"]
    assert "wait" in told[-1]["message"]
    assert sign(client, unit).json["error"]["code"] == "locked"
    assert plant.row("units", unit)["state"] == "open"


@pytest.mark.parametrize("who", ["per", "zaneta"])
def test_only_an_inspector_signs(client_as, unit, who):
    assert sign(client_as(who), unit).status_code == 403


def test_a_manager_who_is_no_inspector_cannot_sign_but_may_confirm_the_identity(plant, client_as, unit):
    plant.journal.record_server(
        "plant",
        "person_changed",
        {"person": plant.people["maud"], "roles": ["manager"], "departments": [], "state": "active"},
        private={"name": "Maud Esterházy", "pin_hash": plant.row("people", plant.people["maud"])["pin_hash"]},
    )
    client = client_as("maud")

    assert client.post(f"/sign-off/{unit}/gates/identity", json={}).status_code == 200
    assert sign(client, unit).status_code == 403


def test_a_unit_whose_gates_do_not_hold_is_not_signed(plant, client_as):
    unit = plant.unit()
    walked(plant, unit, ("swirl", "left.sliding_door_lower", {"size": 300}))
    client = client_as("ines")

    answer = sign(client, unit)

    held = {gate["key"]: gate["held"] for gate in client.get(f"/sign-off/{unit}/now").json["gates"]}
    assert answer.status_code == 409
    assert "Gates are still open" in answer.json["error"]["message"]
    assert held == {
        "identity": False, "marks": False, "coverage": True, "parts": False, "water": False, "release": False,
    }  # fmt: skip


def test_the_page_names_each_block_and_leads_to_where_it_is_lifted(plant, client_as):
    unit = plant.unit()
    walked(plant, unit, ("swirl", "left.sliding_door_lower", {"size": 300}))
    job = plant.per.jobs(unit)[0]["id"]

    page = client_as("ines").get(f"/sign-off/{unit}").text

    assert "B1 needs rework: left sliding door, lower" in page
    assert f'href="/rework/{job}"' in page
    assert "ZZB" in page
    assert "The check digit does not hold." in page


@pytest.mark.parametrize(
    ("strokes", "says"),
    [
        ([], "signature is missing"),
        ([[[500, 500]]], "signature is missing"),
        ([[[500, 1500], [20, 20]]], "strokes.0.0.1"),
        ([[[n % 1000, n % 7] for n in range(2000)]] * 5, "too many points"),
    ],
)
def test_what_is_no_signature_is_refused_in_one_sentence(plant, client_as, unit, strokes, says):
    answer = sign(client_as("ines"), unit, strokes=strokes)

    assert answer.status_code == 422
    assert says in answer.json["error"]["message"]
    assert plant.row("units", unit)["state"] == "open"


def test_a_tablet_that_opened_the_unit_and_went_silent_is_named_and_passed_over_with_a_reason(plant, client_as, unit):
    clock = plant.journal.clock()
    plant.journal.note("INSERT INTO seen_by VALUES (?, ?, ?, 0, 1)", (plant.lukasz.tablet, unit, clock - 60_000))
    client = client_as("maud")
    path = f"/sign-off/{unit}/gates/marks"

    assert "has had this unit open and has not reported since" in client.get(f"/sign-off/{unit}").text
    assert sign(client, unit).status_code == 409
    bare = client.post(path, json={"tablet": plant.lukasz.tablet})
    assert (bare.status_code, "Say why" in bare.json["error"]["message"]) == (422, True)
    assert client.post(path, json={"tablet": plant.lukasz.tablet, "reason": "Its battery is flat."}).status_code == 200
    assert sign(client, unit).status_code == 200


def test_a_manager_without_the_role_of_inspector_may_pass_over_a_silent_tablet(plant, unit):
    plant.maud.roles = ("manager",)
    plant.maud.sign_in()

    body = {"gate": "marks", "tablet": plant.lukasz.tablet}
    answer = plant.maud.online(unit, "gate_confirmed", body, {"reason": "Asked by telephone: nothing on it."})

    assert answer.outcome == "applied"


def test_a_confirmed_identity_can_be_taken_back(plant, client_as, unit):
    client = client_as("ines")

    gates = client.post(f"/sign-off/{unit}/gates/identity", json={"withdrawn": True}).json["gates"]

    assert next(gate for gate in gates if gate["key"] == "identity")["held"] is False
    assert sign(client, unit).status_code == 409


def test_a_question_blocks_until_it_is_answered_on_the_page(plant, client_as, unit):
    marker = plant.rows("markers", unit)[0]["id"]
    plant.ines.do(unit, "marker_amended", {"marker": marker, "size": 400})
    client = client_as("ines")
    question = plant.rows("questions", unit)[0]["id"]

    assert sign(client, unit).status_code == 409
    told = client.post(f"/sign-off/{unit}/questions/{question}", json={"answer": "The clearing holds."})
    assert told.status_code == 200
    assert client.post(f"/sign-off/{unit}/questions/{question}", json={"answer": "Again."}).status_code == 409
    assert sign(client, unit).status_code == 200


def test_a_marker_that_arrives_after_signing_is_kept_as_an_escape_and_asked_about(app, plant, client_as, unit):
    client = client_as("ines")
    sign(client, unit)

    marker = late_marker(plant, unit)

    page = client.get(f"/sign-off/{unit}").text
    assert plant.row("markers", marker)["escape"] == 1
    assert "Found after signing" in page
    assert "arrived after the unit was signed; it is kept as an escape" in page
    assert "1 found after signing" in client.get("/sign-off").text


def test_only_a_manager_reopens_and_only_with_a_reason(plant, client_as, unit):
    sign(client_as("ines"), unit)

    assert client_as("ines").post(f"/sign-off/{unit}/reopen", json={"reason": "A chip."}).status_code == 403
    bare = client_as("maud").post(f"/sign-off/{unit}/reopen", json={"reason": "  "})
    assert (bare.status_code, "'reason' is missing" in bare.json["error"]["message"]) == (422, True)
    told = client_as("maud").post(f"/sign-off/{unit}/reopen", json={"reason": "A chip found at hand-over."})
    assert (told.status_code, told.json["state"]) == (200, "open")
    assert next(gate for gate in told.json["gates"] if gate["key"] == "identity")["held"] is False


def test_the_list_tells_units_to_sign_from_those_that_wait_and_by_what(plant, client_as, unit):
    blocked = plant.unit("118940")
    marker = walked(plant, blocked, ("scratch", "rear.door_left_upper", {"severity": "S4"}))[0]
    concession(plant, blocked, marker)
    plant.unit("203377")

    page = client_as("maud").get("/sign-off").text
    to_sign, not_yet = page.split("Not yet")[0], page.split("Not yet")[1]

    assert f'href="/sign-off/{unit}"' in to_sign
    assert f'href="/sign-off/{blocked}"' in not_yet
    assert "1 marker to put right" in not_yet
    assert "1 unit has not been walked yet" in not_yet
    assert "1 concession waits for an answer" in page


def test_writes_of_the_sign_off_need_the_header_of_our_own_pages(app, client_as, unit):
    client = client_as("ines")
    del client.environ_base["HTTP_X_LAMPWALK"]

    answer = client.post(f"/sign-off/{unit}/gates/identity", json={})

    assert answer.status_code == 403


def test_a_unit_or_question_that_is_not_there_is_told_in_words(client_as, unit):
    client = client_as("ines")

    assert client.get(f"/sign-off/{new_id()}").status_code == 404
    answer = client.post(f"/sign-off/{unit}/questions/{new_id()}", json={"answer": "Yes."})
    assert answer.status_code == 404
    assert client.post(f"/sign-off/{unit}/gates/moon", json={}).status_code == 404


def test_a_typed_name_is_kept_as_strokes_and_said_to_be_typed(app, plant, client_as, unit):
    from inspect_app.rooms.signoff.sheet_data import read

    sign(client_as("ines"), unit, typed=True)

    data = read(plant.journal, app.extensions["lampwalk"].photos, unit, "A")
    assert data.signatures[0].role == "inspector, typed name"
    assert data.signatures[0].strokes[0][0] == tuple(STROKES[0][0])
