"""One commit: what cannot be worked out takes nothing with it, and what is written once a commit is as if written at once."""

import sqlite3

import pytest

from inspect_app.journal import project
from inspect_app.journal.verify import verify
from sample_units.hands import new_id


@pytest.fixture
def walked(plant):
    unit = plant.unit()
    return unit, plant.ines.start_walk(unit)


def nib(plant, walked, tag):
    unit, walk = walked
    spot = plant.ines.spot(unit, "left.storage_door")  # of own paint: two nibs at most
    body = {"marker": new_id(), "tag": tag, "walk": walk, "lap": "lamp", "kind": "nib", "size": 8, **spot}
    return plant.ines.event(unit, "marker_made", body)


def break_at(monkeypatch, marker):
    """Let the projection of one marker fail after it has written its row."""
    made = project.PROJECTORS["marker_made"]

    def broken(db, event):
        made(db, event)
        if event.body["marker"] == marker:
            raise ValueError("broken for this test")

    monkeypatch.setitem(project.PROJECTORS, "marker_made", broken)


def test_an_event_the_server_fails_at_leaves_the_others_of_its_commit_whole(plant, walked, monkeypatch):
    events = [nib(plant, walked, f"B{number}") for number in (1, 2, 3)]
    break_at(monkeypatch, events[1]["body"]["marker"])

    assert [answer.outcome for answer in plant.ines.send(*events)] == ["applied", "error", "applied"]

    assert sorted(row["tag"] for row in plant.rows("markers", walked[0])) == ["B1", "B3"]
    assert plant.row("units", walked[0])["markers"] == 2


def test_an_event_the_server_failed_at_is_taken_when_it_is_sent_again(plant, walked, monkeypatch):
    event = nib(plant, walked, "B1")
    break_at(monkeypatch, event["body"]["marker"])
    assert plant.ines.send(event)[0].outcome == "error"
    monkeypatch.undo()

    assert plant.ines.send(event)[0].outcome == "applied"


def test_the_chain_is_clean_after_a_fault_in_the_middle(plant, walked, monkeypatch):
    events = [nib(plant, walked, f"B{number}") for number in range(1, 6)]
    break_at(monkeypatch, events[2]["body"]["marker"])
    plant.ines.send(*events)
    monkeypatch.undo()
    plant.ines.send(events[2])

    told = verify(plant.journal.folder.path)
    assert told.clean, told.sentence


def test_a_second_walk_that_ends_in_the_same_sync_sees_the_markers_counted(plant, walked):
    unit, walk = walked
    plant.ines.look_everywhere(unit, walk)
    done = plant.ines.event(unit, "walk_finished", {"walk": walk})

    answers = plant.ines.send(nib(plant, walked, "B1"), done)

    assert [answer.outcome for answer in answers] == ["applied", "applied"]
    row = plant.row("units", unit)
    assert (row["markers"], row["open"], row["stage"]) == (1, 1, "in_rework")


def test_a_reworked_marker_keeps_a_look_again_from_ending_in_the_sync_that_reworked_it(plant, walked):
    unit, walk = walked
    plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=15)
    plant.ines.finish_walk(unit, walk)
    again = plant.lukasz.start_walk(unit, "again")
    (job,) = plant.per.jobs(unit)
    plant.per.take(unit, job)
    tokens = [plant.journal.tickets.write(hands.ticket) for hands in (plant.per, plant.lukasz)]
    events = [
        plant.per.event(unit, "work_done", {"job": job["id"], "minutes": 5}),
        plant.lukasz.event(unit, "walk_finished", {"walk": again}, tablet=plant.lukasz.tablet),
    ]
    answers = plant.journal.sync(events, tokens, tablet=plant.per.tablet)

    assert [answer.outcome for answer in answers] == ["applied", "refused"]


def counted_on_the_door(plant, walked):
    """Seven events that each change what stands on the door: their verdicts, by tag."""
    unit, _ = walked
    made = {tag: nib(plant, walked, tag) for tag in ("B1", "B2", "B3", "B4")}
    ids = {tag: one["body"]["marker"] for tag, one in made.items()}
    more = {
        "kind": plant.ines.event(unit, "marker_amended", {"marker": ids["B2"], "kind": "chip"}),
        "count": plant.ines.event(unit, "marker_amended", {"marker": ids["B1"], "count": 3}),
        "gone": plant.ines.event(unit, "marker_withdrawn", {"marker": ids["B1"], "reason": "dust"}),
    }
    return [made["B1"], made["B2"], more["kind"], made["B3"], more["count"], more["gone"], made["B4"]]


def test_what_stands_on_a_part_is_counted_in_one_commit_as_in_many(plant, walked):
    other = plant.unit("118940")
    at_once = plant.ines.send(*counted_on_the_door(plant, walked))
    elsewhere = counted_on_the_door(plant, (other, plant.ines.start_walk(other)))
    one_by_one = [plant.ines.send(event)[0] for event in elsewhere]

    said = [[answer.resolved.get("limit_text") for answer in told] for told in (at_once, one_by_one)]
    assert said[0] == said[1]
    assert [text.split(" on ")[0] if text else None for text in said[0]] == [
        "0.8 mm", "0.8 mm", "chip", "0.8 mm", "0.8 mm and 4 of them", None, "0.8 mm"
    ]  # fmt: skip


def test_a_marker_that_is_undone_is_not_counted(plant, walked, monkeypatch):
    events = [nib(plant, walked, f"B{number}") for number in (1, 2, 3)]
    break_at(monkeypatch, events[1]["body"]["marker"])

    told = plant.ines.send(*events)

    assert "of them" not in told[2].resolved["limit_text"]  # two stand; three would be too many


def test_what_was_remembered_of_the_plant_is_read_anew_after_a_commit_was_undone(plant, walked, monkeypatch):
    def full(db, event):
        plant.journal._appender._plant.letters[event.tablet] = "ZZ"  # as if the commit had given the tablet others
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setitem(project.PROJECTORS, "marker_made", full)
    with pytest.raises(sqlite3.OperationalError):
        plant.ines.send(nib(plant, walked, "B1"))
    monkeypatch.undo()

    letters = plant.journal.read().execute("SELECT letters FROM tablets WHERE id = ?", (plant.ines.tablet,)).fetchone()
    tag = f"{letters['letters']}1"
    assert plant.ines.send(nib(plant, walked, tag))[0].resolved["tag"] == tag


@pytest.mark.parametrize("many", [1, 3, 4, 7])
def test_events_that_came_before_are_known_however_many_come_again_at_once(plant, walked, many):
    events = [nib(plant, walked, f"B{number}") for number in range(1, many + 1)]
    first = plant.ines.send(*events)
    doubled = [{**event, "id": new_id()} for event in events]  # other events that make the same markers

    assert [answer.n for answer in plant.ines.send(*events)] == [answer.n for answer in first]
    assert {answer.code for answer in plant.ines.send(*doubled)} == {"marker_exists"}
    assert len(plant.rows("markers", walked[0])) == many


def test_a_tablet_that_is_shut_out_is_so_from_the_next_sync_on_and_let_in_again_at_once(plant, walked):
    def told(shut):
        plant.journal.record(plant.maud.ticket, "plant", f"tablet_{shut}", {"tablet": plant.ines.tablet, "reason": "x"})
        return plant.ines.send(nib(plant, walked, "B1"))[0].code

    assert plant.ines.send(nib(plant, walked, "B1"))[0].outcome == "applied"
    assert (told("shut_out"), told("let_in")) == ("shut_out", None)


def test_what_stands_on_a_part_is_not_counted_from_a_commit_that_was_undone(plant, walked, monkeypatch):
    def full(db, event):
        raise sqlite3.OperationalError("database or disk is full")

    assert plant.ines.send(nib(plant, walked, "B1"))[0].outcome == "applied"
    monkeypatch.setitem(project.PROJECTORS, "photo_added", full)
    photo = plant.ines.event(walked[0], "photo_added", {"photo": new_id(), "role": "found"})
    with pytest.raises(sqlite3.OperationalError):
        plant.ines.send(nib(plant, walked, "B2"), nib(plant, walked, "B3"), photo)
    monkeypatch.undo()

    told = [plant.ines.send(nib(plant, walked, f"B{number}"))[0].resolved["limit_text"] for number in (2, 3)]
    assert ["3 of them" in text for text in told] == [False, True]  # B1, B2 and B3, not the two of before as well


def test_a_unit_is_counted_on_as_others_come_between(plant, walked, monkeypatch):
    monkeypatch.setattr("inspect_app.journal.tally.UNITS", 1)
    others = [plant.unit(f"{number}18940") for number in range(2)]
    visits = [walked, *((unit, plant.ines.start_walk(unit)) for unit in others)]
    texts = [
        plant.ines.send(nib(plant, visit, f"B{number}"))[0].resolved["limit_text"]
        for number in (1, 2, 3)
        for visit in visits
    ]

    assert ["3 of them" in text for text in texts] == [False] * 6 + [True] * 3
