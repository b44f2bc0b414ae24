"""The history of a unit: every event a sentence, the refused and the asked about among them, page by page."""

from __future__ import annotations

import io
import re
from datetime import datetime

import pytest
from desk import Desk, said
from PIL import Image

from inspect_app.journal.bodies import UNIT_BODIES
from inspect_app.journal.events import Refusal
from inspect_app.rooms.units import history as shown
from inspect_app.rooms.units.history_words import LABELS, SENTENCES, SUBJECTS, WAYS
from sample_units.hands import new_id
from tests.docs.event_words import MADE_BY_THE_SERVER

DOOR = "left.sliding_door_lower"


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


def lines(desk, unit: str, query: str = "") -> list[str]:
    """The sentences of a page, top to bottom."""
    page = desk.get(f"/units/{unit}/history{query}")
    assert page.status_code == 200
    found = re.findall(r'<li class="line history-line".*?<p>(.*?)</p>', page.text, re.S)
    return [" ".join(re.sub(r"<[^>]+>", "", one).replace("&#39;", "'").split()) for one in found]


def walked(plant):
    """A unit with one nib, marked on a walk that is finished; its marker."""
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", DOOR, "B1", size=15)
    plant.ines.finish_walk(unit, walk)
    return unit, marker


# ------------------------------------------------------------------ the table of sentences


def test_every_event_of_a_unit_has_its_sentence_and_stands_under_one_subject():
    events = {*UNIT_BODIES, *MADE_BY_THE_SERVER}
    grouped = [event for events in SUBJECTS.values() for event in events]

    assert {key.partition(".")[0] for key in SENTENCES} == events
    assert sorted(grouped) == sorted(events)
    assert set(SUBJECTS) < set(LABELS)


@pytest.mark.parametrize("event", sorted(WAYS))
def test_an_event_that_reads_in_several_ways_has_a_sentence_for_each_value_its_body_may_have(event):
    allowed = UNIT_BODIES[event].model_json_schema()["properties"][WAYS[event]]["enum"]

    assert {f"{event}.{value}" for value in allowed} == {key for key in SENTENCES if key.partition(".")[0] == event}


# ------------------------------------------------------------------ the page


def test_what_happened_is_told_in_order_by_whom_and_from_which_tablet(plant, desk):
    unit, _ = walked(plant)
    job = plant.per.jobs(unit)[0]
    plant.per.work(unit, job, minutes=70)

    per = desk("per")
    told = lines(per, unit, "?page=1") + lines(per, unit)
    page = per.words(f"/units/{unit}/history")

    assert told[0] == "Maud Esterházy took the unit in: Brennach Tourer 6, Fjord grey."
    assert told[1] == "Ines Okafor began the walk “first walk”."
    assert re.fullmatch(r"Ines Okafor marked B1: dirt nib, S4, .*left sliding door.*\.", told[2], re.I)
    assert told[-1].startswith("Per Halvorsen did the job “")
    assert told[-1].endswith("in 1 h 10 min.")
    assert "tablet B" in page
    assert "by the server" in page


@pytest.mark.parametrize(
    ("came", "told"), [("2026-03-02 17:20", "the server 17:20"), ("2026-03-03 06:10", "the server 2026-03-03 06:10")]
)
def test_what_came_late_says_the_day_only_where_it_is_another(plant, desk, came, told):
    made, had = (datetime.fromisoformat(f"{at}+00:00") for at in ("2026-03-02 11:35", came))
    plant.ines.at = round(made.timestamp() * 1000)
    plant.journal.clock = lambda: round(had.timestamp() * 1000)
    plant.ines.sign_in()
    unit = plant.unit()
    plant.ines.start_walk(unit)

    assert f"reached {told}" in desk("per").words(f"/units/{unit}/history")


def test_a_refused_event_stands_among_the_others_with_its_reason(plant, desk):
    unit, marker = walked(plant)
    answer = plant.ines.do(unit, "marker_accepted", {"marker": marker})
    assert answer.outcome == "refused"

    told = lines(desk("ines"), unit, "?show=asked")
    page = desk("ines").words(f"/units/{unit}/history?show=asked")

    assert told == ["Refused: Ines Okafor accepted B1 as it is, within its limit."]
    assert answer.reason in page


def test_what_was_asked_about_is_told_with_its_answer_once_there_is_one(plant, desk):
    unit, marker = walked(plant)
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": marker, "reason": "no nib here"})
    question = plant.rows("questions", unit)[0]["id"]
    ines = desk("ines")
    before = " ".join(lines(ines, unit))
    ines.send(f"/units/{unit}/questions/{question}", page=f"/units/{unit}", **{f"{question}-answer": "lower down"})

    after = lines(ines, unit)
    assert "could not find B1: no nib here" in before
    assert any(re.fullmatch(r"Ines Okafor answered the question “.+”: lower down", line) for line in after)


def test_a_flagged_event_shows_its_open_question_then_how_it_was_settled(plant, desk, app):
    from tests.rooms import signed_units as done

    unit = done.ready(plant, "047021")
    client = app.test_client()
    client.environ_base["HTTP_X_LAMPWALK"] = "1"
    client.post("/sign-in", json={"person": plant.people["ines"], "pin": "2580"})
    assert done.sign(client, unit).status_code == 200
    done.late_marker(plant, unit)
    ines = desk("ines")
    before = ines.words(f"/units/{unit}/history?show=asked")
    question = plant.rows("questions", unit)[0]["id"]
    ines.send(f"/units/{unit}/questions/{question}", page=f"/units/{unit}", **{f"{question}-answer": "seen, it stays"})

    assert "Asked about:" in before
    assert "The question is open." in before
    assert "Settled: seen, it stays" in ines.words(f"/units/{unit}/history?show=asked")


def test_a_note_and_a_photo_stand_with_what_they_belong_to(plant, client_as, desk):
    unit, marker, photo = plant.unit(), new_id(), new_id()
    walk = plant.ines.start_walk(unit)
    body = {"marker": marker, "walk": walk, "lap": "lamp", "kind": "nib", "tag": "B1", **plant.ines.spot(unit, DOOR)}
    plant.ines.do(unit, "marker_made", body, {"note": "beside the handle"})
    plant.ines.do(unit, "photo_added", {"photo": photo, "marker": marker, "role": "found"})
    picture = io.BytesIO()
    Image.new("RGB", (60, 40), "#5d7183").save(picture, "JPEG")
    stored = client_as("ines").put(f"/photos/{photo}", data=picture.getvalue(), content_type="image/jpeg")
    assert stored.status_code in (200, 201), stored.text

    page = desk("per").get(f"/units/{unit}/history?show=photos").text
    assert f'src="/photos/{photo}?size=thumb" alt="Ines Okafor took a photo of B1."' in page
    assert "“beside the handle”" in desk("per").words(f"/units/{unit}/history?show=marks")


@pytest.mark.parametrize("subject", sorted(SUBJECTS))
def test_narrowed_to_a_subject_only_its_events_are_there(plant, desk, subject):
    unit, _ = walked(plant)
    stored = plant.journal.read().execute("SELECT type FROM events WHERE stream = ?", (f"unit:{unit}",))
    wanted = sum(row["type"] in SUBJECTS[subject] for row in stored)
    told = [line for page in (1, 2, 3) for line in lines(desk("per"), unit, f"?show={subject}&page={page}")]

    assert len(dict.fromkeys(told)) <= wanted
    assert bool(told) == bool(wanted)


def test_a_long_history_opens_on_its_newest_page_and_is_read_back_from_there(plant, desk, monkeypatch):
    monkeypatch.setattr(shown, "PAGE", 20)
    unit, _ = walked(plant)
    total = (
        plant.journal.read().execute("SELECT count(*) FROM events WHERE stream = ?", (f"unit:{unit}",)).fetchone()[0]
    )
    last = -(-total // 20)
    per = desk("per")

    pages = [lines(per, unit, f"?page={number}") for number in range(1, last + 1)]

    assert last > 2
    assert [len(page) for page in pages[:-1]] == [20] * (last - 1)
    assert sum(map(len, pages)) == total
    assert lines(per, unit) == pages[-1] == lines(per, unit, "?page=999")
    assert f"Page {last} of {last}" in per.words(f"/units/{unit}/history")


def test_a_second_pair_of_eyes_does_not_read_what_the_first_has_found(plant, desk):
    unit, _ = walked(plant)
    plant.lukasz.start_walk(unit, "second")

    assert lines(desk("lukasz"), unit) == []
    assert "second pair of eyes" in desk("lukasz").words(f"/units/{unit}/history")
    assert lines(desk("ines"), unit)


def test_an_entry_that_cannot_be_read_is_told_as_such_and_the_page_stays(plant, desk):
    unit = plant.unit()
    odd = [
        plant.ines.event(unit, "zones_absent", {"zones": 7, "why": ["off"]}),
        plant.ines.event(unit, "zones_absent", {"zones": [7, None], "why": "off"}, at=2**52),
        plant.ines.event(unit, "zone_looked", {"walk": 5, "zone": {}, "lap": None, "found": "x"}),
        plant.ines.event(unit, "job_planned", {"chains": 5}),
        plant.ines.event(unit, "no_such_event", ["%(who)s"]),
    ]
    tokens = [plant.journal.tickets.write(plant.ines.ticket)]
    plant.journal.keep_aside(odd, tokens, tablet=plant.ines.tablet, refusal=Refusal("shut_out", "It is shut out."))

    told = lines(desk("per"), unit, "?show=asked")

    assert len(told) == len(odd)
    assert told.count("Refused: Ines Okafor sent something that cannot be read.") == 3
    assert told[-1] == "Refused: Ines Okafor noted as off the van: 7 and a zone."


def test_an_unknown_list_or_unit_is_a_sentence_and_404(plant, desk):
    unit, per = plant.unit(), desk("per")

    assert "There is no list 'nothing'" in said(per.get(f"/units/{unit}/history?show=nothing"))
    assert per.get(f"/units/{unit}/history?show=nothing").status_code == 404
    assert per.get("/units/nowhere/history").status_code == 404
    assert per.get(f"/units/{unit}/history?page=-3").status_code == 200
    assert per.get(f"/units/{unit}/history?page=x").status_code == 200


def test_the_card_leads_to_the_history(plant, desk):
    unit = plant.unit()

    assert f'href="/units/{unit}/history"' in desk("per").get(f"/units/{unit}").text
