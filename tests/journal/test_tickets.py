"""What a ticket proves and for how long: late, forged, of another tablet; and what a manager's word changes in that."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspect_app.journal.tickets import LATE_MS, SHIFT_MS, TicketOffice


@pytest.fixture
def walked(plant):
    unit = plant.unit()
    return unit, plant.ines.start_walk(unit)


def nib(plant, walked, tag="B1", **header):
    unit, walk = walked
    body = {
        "marker": f"00000000-0000-7000-8000-{int(tag[1:]):012d}",
        "walk": walk,
        "lap": "lamp",
        "kind": "nib",
        "tag": tag,
    }
    return plant.ines.event(unit, "marker_made", {**body, **plant.ines.spot(unit, "left.sliding_door_lower")}, **header)


def send(plant, event, *, token=None, vouched=()):
    token = token or plant.journal.tickets.write(plant.ines.ticket)
    return plant.journal.sync([event], [token], tablet=plant.ines.tablet, vouched=vouched)[0]


def late(plant, monkeypatch, by=LATE_MS + SHIFT_MS):
    now = plant.journal.clock() + by
    monkeypatch.setattr(plant.journal, "clock", lambda: now)


def test_a_ticket_by_another_servers_key_is_forged(plant, walked):
    token = TicketOffice("another key").write(plant.ines.ticket)

    assert send(plant, nib(plant, walked), token=token).code == "no_ticket"


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(place=st.integers(0, 10_000), letter=st.sampled_from("Aaz09-_"))
def test_no_letter_of_what_a_ticket_says_can_be_changed(plant, place, letter):
    token = plant.journal.tickets.write(plant.ines.ticket)
    said = token.rindex(".")  # behind it stands the signature, whose last letter has bits that say nothing
    place %= said
    changed = token[:place] + letter + token[place + 1 :]

    assert changed == token or plant.journal.authors([changed]) == {}


def test_what_was_refused_for_its_ticket_is_taken_when_the_true_one_comes(plant, walked):
    event = nib(plant, walked)
    assert send(plant, event, token="x.y").code == "no_ticket"

    assert send(plant, event).outcome == "applied"


def test_the_hour_before_the_fourteen_days_are_over_it_is_taken_and_the_hour_after_not(plant, walked, monkeypatch):
    event = nib(plant, walked)
    late(plant, monkeypatch, LATE_MS + 1)
    refused = send(plant, event)
    late(plant, monkeypatch, -3_600_000)

    assert (refused.code, "a manager can bring it in" in refused.reason) == ("too_late", True)
    assert send(plant, event).outcome == "applied"


def test_a_managers_word_takes_what_is_late_and_its_author_stays(plant, walked, monkeypatch):
    event = nib(plant, walked)
    late(plant, monkeypatch)
    assert send(plant, event).code == "too_late"

    assert send(plant, event, vouched={event["id"]}).outcome == "applied"
    assert plant.rows("markers", walked[0])[0]["made_by"] == plant.people["ines"]


def test_a_word_for_one_entry_is_no_word_for_another(plant, walked, monkeypatch):
    first, second = nib(plant, walked, "B1"), nib(plant, walked, "B2")
    late(plant, monkeypatch)

    assert send(plant, second, vouched={first["id"]}).code == "too_late"


@pytest.mark.parametrize(
    ("header", "code"),
    [({"at": 1}, "outside_shift"), ({"tablet": "another"}, "other_tablet"), ({"ticket": "unknown"}, "no_ticket")],
)
def test_no_word_makes_up_for_what_a_ticket_does_not_prove(plant, walked, header, code):
    event = nib(plant, walked, **header)

    assert send(plant, event, vouched={event["id"]}).code == code
