"""Units: found by their number, their card, and what is put right on it."""

from __future__ import annotations

import pytest
from desk import Desk, fault_beside, said


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


def find(client, typed):
    return client.get(f"/units/find?last6={typed}").json


def asked(plant) -> tuple[str, str]:
    """A unit with an open question, and the question."""
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.sliding_door_lower", "B1", size=15)
    plant.ines.finish_walk(unit, walk)
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": marker, "reason": "no nib here"})
    return unit, plant.rows("questions", unit)[0]["id"]


@pytest.mark.parametrize(("typed", "advice"), [("1", "Type at least two characters."), ("000001", "Compare it with")])
def test_a_number_that_is_not_there_is_told_what_to_do_about_it(plant, desk, typed, advice):
    page = desk("ines").words(f"/units/find?last6={typed}")

    assert f"No unit holds {typed}." in page
    assert advice in page
    assert page.count("Type at least two") == (typed == "1")


def proposed(plant) -> tuple[str, str]:
    """A unit with a mark proposed as no flaw, and the mark."""
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.sliding_door_lower", "B1", size=15)
    plant.ines.finish_walk(unit, walk)
    job = plant.per.jobs(unit)[0]
    plant.per.take(unit, job)
    plant.per.do(unit, "no_flaw_proposed", {"marker": marker, "job": job["id"], "reason": "it was dust"})
    return unit, marker


# ------------------------------------------------------------------ found by number


def test_two_units_that_share_their_last_six_are_both_shown_with_what_tells_them_apart(plant, client_as):
    grey, white = plant.unit("047312"), plant.unit("047312", colour="Chalk white")

    found = find(client_as("ines"), "047312")

    assert {one["id"] for one in found["units"]} == {grey, white}
    assert found["shared"] == ["047312"]
    assert len({one["chassis"] for one in found["units"]}) == 2
    assert all(one["make"] and one["colour"] and len(one["chassis"]) == 17 for one in found["units"])


def test_a_unit_is_found_by_the_first_digits_of_its_last_six_and_by_any_part_of_its_number(plant, client_as):
    unit = plant.unit("118940")
    plant.unit("203377")
    chassis = str(plant.row("units", unit)["chassis"])

    for typed in ("118", "118940", chassis, chassis[3:9].lower(), "940"):
        assert unit in {one["id"] for one in find(client_as("ines"), typed)["units"]}, typed
    assert len(find(client_as("ines"), "118")["units"]) == 1


def test_what_the_last_six_begin_with_comes_before_what_they_only_hold(plant, client_as):
    plant.unit("118940")
    begins = plant.unit("940111")

    assert find(client_as("ines"), "940")["units"][0]["id"] == begins


def test_one_character_or_nothing_finds_nothing(plant, client_as):
    plant.unit("118940")

    assert [find(client_as("ines"), typed)["units"] for typed in ("", "1", "%25", "';--")] == [[], [], [], []]


def test_more_units_than_are_shown_are_said_to_be_more(plant, client_as):
    for number in range(14):
        plant.unit(f"7000{number:02d}")

    found = find(client_as("ines"), "7000")

    assert (len(found["units"]), found["more"]) == (12, True)


@pytest.mark.parametrize("question", ["status", "key", "place", "01a21372-f7f1-7291-8f6d-0779de9627a3"])
def test_a_question_that_was_never_asked_is_not_answered(plant, desk, question):
    unit = plant.unit()
    answer = desk("ines").send(f"/units/{unit}/questions/{question}", page=f"/units/{unit}")

    assert answer.status_code == 404
    assert "There is no such question on this unit" in answer.text


def test_who_finds_nothing_may_add_the_van_with_the_number_as_typed(plant, client_as, desk):
    plant.unit("118940")
    told = {who: find(client_as(who), "ZZBRT6L10KA047312")["add"] for who in ("ines", "maud", "per")}

    assert told == {"ines": "/units/new?chassis=ZZBRT6L10KA047312", "maud": told["ines"], "per": None}
    assert find(client_as("ines"), "047312")["add"] == "/units/new"
    assert [find(client_as("ines"), typed)["add"] for typed in ("118940", "1")] == [None, None]
    assert 'value="ZZBRT6L10KA047312"' in desk("ines").get(told["ines"]).text
    assert f'href="{told["ines"]}"' in desk("ines").get("/units/find?last6=ZZBRT6L10KA047312").text


def test_each_finder_is_led_to_what_they_do_next(plant, client_as):
    unit = plant.unit("118940")

    told = {name: find(client_as(name), "118940")["units"][0]["href"] for name in ("ines", "per", "maud")}

    assert told == {"ines": f"/walk/{unit}", "per": f"/units/{unit}", "maud": f"/walk/{unit}"}


def test_without_a_script_the_same_address_is_a_page_that_leaves_the_choice(plant, desk):
    plant.unit("047312")
    plant.unit("047312", colour="Chalk white")

    page = desk("ines").get("/units/find?last6=047312")

    assert "More than one unit ends in 047312" in said(page)
    assert "Chalk white" in said(page)
    assert page.status_code == 200


# ------------------------------------------------------------------ the list


def test_the_list_shows_one_stage_at_a_time_with_counts(plant, desk):
    plant.unit("047312")
    plant.ines.start_walk(plant.unit("203377"))

    page = desk("per").get("/units?show=walking")

    assert "203 377" in said(page)
    assert "047 312" not in said(page)
    assert "All open 2" in said(page)


def test_a_long_list_is_paged_and_nothing_is_on_two_pages(plant, desk):
    for number in range(53):
        plant.unit(f"{500000 + number}")

    first, second = desk("per").words("/units"), desk("per").words("/units?page=2")

    assert "Page 1 of 2, 53 units" in first
    assert first.count("Brennach") == 50
    assert second.count("Brennach") == 3


def test_a_list_that_there_is_not_is_refused_with_a_sentence(plant, desk):
    page = desk("per").get("/units?show=everything")

    assert page.status_code == 404
    assert "There is no list 'everything'" in said(page)


# ------------------------------------------------------------------ the card


def test_the_card_names_the_unit_its_marks_its_walks_and_leads_on(plant, desk):
    unit, _ = asked(plant)

    page = desk("ines").get(f"/units/{unit}")
    told = said(page)

    assert str(plant.row("units", unit)["chassis"])[:11] in told
    assert "dirt nib" in told
    assert "left sliding door, lower" in told
    assert "First walk Ines Okafor" in told
    assert "no nib here" in told


def test_a_signed_unit_shows_its_sheets_and_takes_no_changes(plant, desk):
    unit = plant.unit()
    plant.ines.finish_walk(unit, plant.ines.start_walk(unit))
    assert plant.ines.sign(unit).outcome == "applied"

    page = desk("maud").get(f"/units/{unit}")

    assert "revision A" in said(page)
    assert f"/units/{unit}/correct" not in page.text
    assert "/place" not in page.text


def test_an_unknown_unit_is_a_sentence_and_404(plant, desk):
    page = desk("ines").get("/units/nothing")

    assert page.status_code == 404
    assert "There is no such unit" in said(page)


def test_place_and_keys_are_noted_by_an_inspector(plant, desk):
    unit = plant.unit()

    answer = desk("ines").send(f"/units/{unit}/place", page=f"/units/{unit}", place="  Bay  2 ", keys="board 14")

    assert answer.status_code == 302
    assert (plant.row("units", unit)["place"], plant.row("units", unit)["keys"]) == ("Bay 2", "board 14")
    assert "Bay 2, keys board 14" in desk("per").words("/units")


def test_place_sent_twice_is_one_event_and_empty_takes_it_away(plant, desk):
    unit, ines = plant.unit(), desk("ines")
    for _ in range(2):
        ines.send(f"/units/{unit}/place", page=f"/units/{unit}", place="Bay 2", keys="")
    assert events(plant, unit, "unit_corrected") == 1

    ines.send(f"/units/{unit}/place", page=f"/units/{unit}", place="", keys="")

    assert plant.row("units", unit)["place"] is None


def test_a_place_too_long_is_said_beside_the_field(plant, desk):
    unit = plant.unit()

    answer = desk("ines").send(f"/units/{unit}/place", page=f"/units/{unit}", place="x" * 81, keys="")

    assert answer.status_code == 422
    assert fault_beside(answer, "place") == "'Stands' may have 80 characters at most."


def test_a_technician_may_not_move_a_van(plant, desk):
    unit = plant.unit()
    per = desk("per")

    answer = per.send(f"/units/{unit}/place", page="/sign-out", place="Bay 2", keys="")

    assert answer.status_code == 403
    assert plant.row("units", unit)["place"] is None


def test_a_manager_corrects_what_was_typed_in_wrongly(plant, desk):
    unit = plant.unit()
    right = {"make": "Brennach", "model": "Tourer 7", "colour": "Signal red", "finish": "solid", "due": "14/03/2027"}

    answer = desk("maud").send(f"/units/{unit}/correct", **right)

    row = plant.row("units", unit)
    assert answer.status_code == 302
    assert (row["model"], row["colour"], row["colour_hex"], row["due"]) == ("Tourer 7", "Signal red", "#a3201e", 1805068799999)  # fmt: skip


def test_a_correction_sent_twice_or_without_change_makes_no_second_event(plant, desk):
    unit, maud = plant.unit(due=1805068799999), desk("maud")
    same = {"make": "Brennach", "model": "Tourer 7", "colour": "Fjord grey", "finish": "metallic", "due": "2027-03-14"}
    maud.send(f"/units/{unit}/correct", **same)
    maud.send(f"/units/{unit}/correct", **same)

    assert events(plant, unit, "unit_corrected") == 1


def test_a_correction_with_faults_changes_nothing_and_says_so_beside_each_field(plant, desk):
    unit = plant.unit()

    answer = desk("maud").send(
        f"/units/{unit}/correct", make="", model="T", colour="Red", finish="solid", due="31/02/2027"
    )

    assert answer.status_code == 422
    assert fault_beside(answer, "make").startswith("'Make' is missing")
    assert fault_beside(answer, "due").startswith("'due date' is a day or time that does not exist")
    assert events(plant, unit, "unit_corrected") == 0


def test_a_technician_may_not_correct_a_unit(plant, desk):
    assert desk("per").get(f"/units/{plant.unit()}/correct").status_code == 403


# ------------------------------------------------------------------ questions


def test_a_question_is_answered_on_the_card_and_the_mark_goes_back_to_its_department(plant, desk):
    unit, question = asked(plant)
    assert plant.per.jobs(unit) == []

    answer = desk("lukasz").send(
        f"/units/{unit}/questions/{question}", page=f"/units/{unit}", **{f"{question}-answer": "a hand lower"}
    )

    assert answer.status_code == 302
    assert plant.rows("questions", unit)[0]["answer"] == "a hand lower"
    assert len(plant.per.jobs(unit)) == 1


def test_an_empty_answer_is_asked_for_beside_its_field(plant, desk):
    unit, question = asked(plant)

    answer = desk("maud").send(
        f"/units/{unit}/questions/{question}", page=f"/units/{unit}", **{f"{question}-answer": "  "}
    )

    assert answer.status_code == 422
    assert fault_beside(answer, f"{question}-answer").startswith("'Answer' is missing")


def test_a_question_answered_twice_keeps_the_first_answer(plant, desk):
    unit, question = asked(plant)
    maud = desk("maud")
    path = f"/units/{unit}/questions/{question}"
    maud.send(path, page=f"/units/{unit}", **{f"{question}-answer": "a hand lower"})

    again = maud.send(path, page=f"/units/{unit}", **{f"{question}-answer": "somewhere else"})

    assert again.status_code == 409
    assert plant.rows("questions", unit)[0]["answer"] == "a hand lower"


def test_a_technician_does_not_answer_questions(plant, desk):
    unit, question = asked(plant)

    answer = desk("per").send(
        f"/units/{unit}/questions/{question}", page="/sign-out", **{f"{question}-answer": "a hand lower"}
    )

    assert answer.status_code == 403


@pytest.mark.parametrize(("choice", "state"), [("yes", "no_flaw"), ("no", "in_rework")])
def test_an_inspector_decides_what_a_technician_proposes_as_no_flaw(plant, desk, choice, state):
    unit, marker = proposed(plant)
    assert "B1 may be no flaw: it was dust" in desk("ines").words(f"/units/{unit}")

    answer = desk("ines").send(f"/units/{unit}/no-flaw/{marker}", page=f"/units/{unit}", agreed=choice)

    assert answer.status_code == 302
    assert plant.row("markers", marker)["state"] == state
    assert bool(plant.per.jobs(unit)) is (choice == "no")


def test_a_decision_sent_twice_or_without_a_choice_changes_nothing(plant, desk):
    unit, marker = proposed(plant)
    ines = desk("ines")
    path = f"/units/{unit}/no-flaw/{marker}"

    assert ines.send(path, page=f"/units/{unit}", agreed="perhaps").status_code == 422
    assert ines.send(path, page=f"/units/{unit}", agreed="yes").status_code == 302
    assert ines.send(path, page="/sign-out", agreed="no").status_code == 409
    assert plant.row("markers", marker)["state"] == "no_flaw"


def test_a_technician_does_not_decide_their_own_proposal(plant, desk):
    unit, marker = proposed(plant)

    assert desk("per").send(f"/units/{unit}/no-flaw/{marker}", page="/sign-out", agreed="yes").status_code == 403


def events(plant, unit, event_type) -> int:
    sql = "SELECT count(*) FROM events WHERE stream = ? AND type = ?"
    return plant.journal.read().execute(sql, (f"unit:{unit}", event_type)).fetchone()[0]
