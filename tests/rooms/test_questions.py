"""The inbox: every open question of the plant, the oldest first, answered where it stands."""

from __future__ import annotations

import re

import pytest
from desk import Desk, said

DOOR = "left.sliding_door_lower"


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


def asked(plant, last_six: str) -> tuple[str, str]:
    """A unit with an open question, and the question."""
    unit = plant.unit(last_six)
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", DOOR, "B1", size=15)
    plant.ines.do(unit, "marks_released", {"walk": walk})
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": marker, "reason": "no nib here"})
    return unit, str(plant.rows("questions", unit)[0]["id"])


def test_the_oldest_question_stands_first_with_its_unit_its_mark_and_who_asked(plant, desk):
    first, second = asked(plant, "047312"), asked(plant, "118940")

    page = desk("maud").get("/questions").text
    words = desk("maud").words("/questions")

    assert re.findall(r'id="q-([0-9a-f-]+)"', page) == [first[1], second[1]]
    assert "2 open" in words
    assert "B1, dirt nib" in words
    assert "asked by Per Halvorsen" in words
    assert f'href="/units/{first[0]}#questions"' in page


def test_an_answer_settles_it_and_leads_back_to_the_inbox(plant, desk):
    (unit, question), ines = asked(plant, "047312"), desk("ines")

    answer = ines.send(f"/questions/{question}", page="/questions", **{f"{question}-answer": "lower down"})

    assert (answer.status_code, answer.location) == (302, "/questions")
    row = plant.row("questions", question)
    assert (row["state"], row["answer"], row["answered_by"]) == ("answered", "lower down", plant.people["ines"])
    assert "No question is open." in ines.words("/questions")
    again = ines.client.post(f"/questions/{question}", data={f"{question}-answer": "once more"})
    assert again.status_code == 403  # without the token of a page
    del unit


def test_a_question_answered_twice_keeps_its_first_answer(plant, desk):
    (_, question), ines, maud = asked(plant, "047312"), desk("ines"), desk("maud")
    asked(plant, "118940")
    for one, words in ((ines, "lower down"), (maud, "higher up")):
        one.send(f"/questions/{question}", page="/questions", **{f"{question}-answer": words})

    assert plant.row("questions", question)["answer"] == "lower down"


def test_an_empty_answer_is_said_beside_its_field_and_nothing_is_kept(plant, desk):
    _, question = asked(plant, "047312")

    answer = desk("ines").send(f"/questions/{question}", page="/questions", **{f"{question}-answer": "  "})

    assert answer.status_code == 422
    assert "'Answer' is missing" in said(answer)
    assert plant.row("questions", question)["state"] == "open"


def test_an_unknown_question_is_a_sentence_and_404(plant, desk):
    asked(plant, "047312")

    answer = desk("ines").send("/questions/nothing", page="/questions", answer="yes")

    assert (answer.status_code, "There is no such question" in said(answer)) == (404, True)


def test_the_floor_counts_the_questions_and_leads_to_them(plant, desk):
    asked(plant, "047312")
    asked(plant, "118940")

    assert "All 2 questions on one page" in desk("maud").words("/")
    assert 'href="/questions"' not in desk("per").get("/").text


def test_whoever_is_on_a_second_walk_is_not_told_what_is_asked_about_the_unit(plant, desk):
    unit, _ = asked(plant, "047312")
    plant.lukasz.start_walk(unit, "second")

    assert "No question is open." in desk("lukasz").words("/questions")
    assert "1 open" in desk("ines").words("/questions")
