"""What the journal answers: once for each event, the same for the same, and never silence."""

import pytest

from inspect_app.journal import aside
from inspect_app.journal.events import Refusal
from inspect_app.journal.tickets import LATE_MS, SHIFT_MS
from sample_units.hands import new_id


@pytest.fixture
def walked(plant):
    unit = plant.unit()
    return unit, plant.ines.start_walk(unit)


def nib(plant, walked, tag="B1", **header):
    unit, walk = walked
    body = {
        "marker": new_id(),
        "tag": tag,
        "walk": walk,
        "lap": "lamp",
        "kind": "nib",
        "size": 8,
        **plant.ines.spot(unit, "left.cab_door_lower"),
    }
    return plant.ines.event(unit, "marker_made", body, **header)


def test_the_same_event_again_gives_the_same_answer_and_changes_nothing(plant, walked):
    event = nib(plant, walked)
    first = plant.ines.send(event)[0]
    before = plant.journal.newest()

    assert plant.ines.send(event, event) == [first, first]
    assert plant.journal.newest() == before


def test_the_same_id_with_other_words_is_refused(plant, walked):
    event = nib(plant, walked)
    plant.ines.send(event)

    again = plant.ines.send({**event, "body": {**event["body"], "size": 15}})[0]

    assert (again.outcome, again.code) == ("refused", "id_reused")
    assert plant.row("markers", event["body"]["marker"])["size"] == 8


def test_a_refused_event_is_kept_with_its_reason_and_refused_alike_again(plant, walked):
    event = nib(plant, walked)
    event["body"]["kind"] = "no_such_kind"
    first = plant.ines.send(event)[0]

    assert first.outcome == "refused"
    assert plant.ines.send(event) == [first]
    kept = plant.journal.read().execute("SELECT reason FROM refused WHERE id = ?", (event["id"],)).fetchall()
    assert [row["reason"] for row in kept] == [first.reason]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"size": "abc"}, "'size' in marker_made"),
        ({"size": -1}, "'size' in marker_made"),
        ({"tag": "b1"}, "'tag' in marker_made"),
        ({"surprise": 1}, "'surprise' in marker_made"),
        ({"marker": "x"}, "'marker' in marker_made"),
        ({"x": 1.5}, "'x' in marker_made"),
        ({"kind": "nib" * 200}, "'kind' in marker_made"),
    ],
)
def test_a_malformed_body_is_refused_with_the_field_and_the_fault(plant, walked, change, said):
    event = nib(plant, walked)
    event["body"].update(change)

    answer = plant.ines.send(event)[0]

    assert answer.outcome == "refused"
    assert said in answer.reason


@pytest.mark.parametrize("raw", [{}, {"id": 3}, [], "event", None, 7, {"id": "x" * 5000}])
def test_what_is_no_event_at_all_is_answered_in_its_place(plant, walked, raw):
    good = nib(plant, walked)

    answers = plant.ines.send(raw, good)

    assert [answer.outcome for answer in answers] == ["refused", "applied"]


def test_one_bad_event_does_not_hold_up_the_others_of_its_sync(plant, walked):
    events = [nib(plant, walked, f"B{number}") for number in range(1, 6)]
    events[2]["body"]["view"] = "from_below"

    assert [answer.outcome for answer in plant.ines.send(*events)] == [
        "applied",
        "applied",
        "refused",
        "applied",
        "applied",
    ]


def test_a_forged_ticket_is_refused(plant, walked):
    event = nib(plant, walked)
    token = plant.journal.tickets.write(plant.ines.ticket)

    answers = plant.journal.sync([event], [token[:-3] + "abc"], tablet=plant.ines.tablet)

    assert (answers[0].outcome, answers[0].code) == ("refused", "no_ticket")


def test_a_ticket_of_another_tablet_is_refused(plant, walked):
    event = nib(plant, walked, tablet=plant.per.tablet)

    assert plant.ines.send(event)[0].code == "other_tablet"


def test_work_outside_the_shift_of_its_ticket_is_refused(plant, walked):
    event = nib(plant, walked, at=plant.ines.ticket.issued_at - 3_600_000)

    assert plant.ines.send(event)[0].code == "outside_shift"


def test_a_clock_that_is_wrong_is_corrected_by_its_offset(plant, walked):
    ahead = 5 * 3_600_000
    event = nib(plant, walked, at=plant.journal.clock() + ahead, offset=-ahead)

    assert plant.ines.send(event)[0].outcome == "applied"


def test_late_arrivals_are_taken_for_fourteen_days_and_no_longer(plant, walked, monkeypatch):
    soon, later = nib(plant, walked, "B1"), nib(plant, walked, "B2")
    start = plant.journal.clock()

    monkeypatch.setattr(plant.journal, "clock", lambda: start + LATE_MS - 60_000)
    assert plant.ines.send(soon)[0].outcome == "applied"
    monkeypatch.setattr(plant.journal, "clock", lambda: start + LATE_MS + SHIFT_MS)
    assert plant.ines.send(later)[0].code == "too_late"


def test_what_is_done_online_only_is_not_taken_from_an_outbox(plant, walked):
    unit, _ = walked
    event = plant.maud.event(unit, "unit_reopened", {"reason": "because"})

    assert plant.maud.send(event)[0].code == "online"


def test_an_unknown_event_is_refused_by_name(plant, walked):
    unit, _ = walked

    assert "'van_repainted' is not an event" in plant.ines.do(unit, "van_repainted", {}).reason


def test_recording_on_a_page_raises_what_a_sync_would_answer(plant, walked):
    unit, _ = walked

    with pytest.raises(Refusal, match="role"):
        plant.ines.online(unit, "unit_reopened", {"reason": "because"})


def test_a_fault_of_ours_undoes_its_event_alone_and_is_not_answered_as_refused(plant, walked, monkeypatch):
    from inspect_app.journal.resolve import RESOLVERS

    monkeypatch.setitem(RESOLVERS, "look_undone", lambda w, event: 1 / 0)
    unit, walk = walked
    broken = plant.ines.event(unit, "look_undone", {"walk": walk, "zone": "left.sill", "lap": "lamp"})

    answers = plant.ines.send(nib(plant, walked, "B1"), broken, nib(plant, walked, "B2"))

    assert [answer.outcome for answer in answers] == ["applied", "error", "applied"]
    assert len(plant.rows("markers", unit)) == 2


def test_the_same_id_with_any_part_of_the_header_changed_is_another_event():
    from inspect_app.journal.events import Envelope
    from inspect_app.journal.journal import _header

    known = {
        "id": new_id(), "stream": f"unit:{new_id()}", "type": "a", "tablet": "b", "seq": 1, "ticket": "c", "at": 1,
        "offset": 1, "catalogue": "d", "outline": "e", "body": {}, "private": {"note": "f"},
    }  # fmt: skip
    others = {"id": new_id(), "stream": f"unit:{new_id()}", "private": {"note": "g"}}
    told = _header(Envelope.model_validate(known))
    changed = {
        name: {**known, name: others.get(name, 2 if isinstance(known[name], int) else "z")}
        for name in known
        if name != "body"
    }

    assert set(known) == set(Envelope.model_fields)
    assert [name for name, raw in changed.items() if _header(Envelope.model_validate(raw)) == told] == []


def test_what_cannot_be_read_is_answered_each_time_and_noted_no_more_often_than_fits(plant, monkeypatch):
    monkeypatch.setattr(aside, "MOST", 3)
    sent = [{"id": f"odd-{n}"} for n in range(5)]

    answers = plant.journal.sync(sent, [], tablet=plant.ines.tablet)

    assert [(answer.id, answer.outcome) for answer in answers] == [(one["id"], "refused") for one in sent]
    noted = plant.journal.read().execute("SELECT id FROM refused WHERE tablet = ? ORDER BY id", (plant.ines.tablet,))
    assert [row["id"] for row in noted] == ["odd-0", "odd-1", "odd-2"]
