"""What lies together is judged while a van is walked, is over together, and stays as it was judged once the walk ends."""

import json
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from inspect_app.journal import Journal
from inspect_app.journal.queries import changes
from inspect_app.journal.verify import verify
from sample_units.hands import new_id

DOOR = "left.cab_door_lower"


@pytest.fixture
def unit(plant):
    return plant.unit()


def nib(hands, unit, walk, dx=0, dy=0, *, kind="nib", size=5, spread=0, zone=DOOR):
    """Mark a small flaw on a zone, dx and dy tenths of mm from where it is easily hit; return its id."""
    spot = hands.spot(unit, zone)
    body = {"marker": new_id(), "tag": "A1", "walk": walk, "kind": kind, "size": size, **spot}
    answer = hands.do(unit, "marker_made", {**body, "x": spot["x"] + dx, "y": spot["y"] + dy, "spread": spread})
    assert answer.outcome == "applied", answer
    return body["marker"]


def verdicts(plant, unit):
    """The verdicts of a unit's markers in the order they were made, when what follows from the last commit is written."""
    plant.journal.settled()
    return [row["verdict"] for row in plant.rows("markers", unit)]


def standing(plant, unit):
    return [row for row in plant.rows("clusters", unit) if not row["gone"]]


def test_two_nibs_too_near_each_other_are_over_together_and_each_alone_again_when_one_is_taken_back(plant, unit):
    # Nibs on the class in plain view lie 300 mm or more apart: common practice, no source.
    walk = plant.ines.start_walk(unit)
    first = nib(plant.ines, unit, walk)
    assert verdicts(plant, unit) == ["within"]
    near = nib(plant.ines, unit, walk, 2500)
    far = nib(plant.ines, unit, walk, 2500 + 1000, 3000)
    verdicts(plant, unit)

    found = {key: plant.row("markers", key) for key in (first, near, far)}
    assert [found[key]["verdict"] for key in (first, near, far)] == ["over", "over", "within"]
    assert found[first]["limit_text"] == "dirt nib: two lie 250 mm apart on a class A part; the limit is 300 mm or more"
    [cluster] = standing(plant, unit)
    assert (cluster["rule"], cluster["outcome"], json.loads(cluster["markers"])) == ("pair", "over", [first, near])
    assert cluster["view"] == "left"
    assert cluster["reach"] >= 1250

    plant.ines.do(unit, "marker_withdrawn", {"marker": near, "reason": "wiped off"})
    assert verdicts(plant, unit)[0] == "within"
    assert "250 mm" not in plant.row("markers", first)["limit_text"]
    assert standing(plant, unit) == []
    assert plant.rows("clusters", unit)[0]["gone"] == 1


def test_six_small_flaws_within_100_mm_are_over_together_whatever_their_kinds(plant, unit):
    # "More than five flaws of acceptable size within 100 x 100 mm" above the windscreen: common practice, no source.
    walk = plant.ines.start_walk(unit)
    for place, (kind, size) in enumerate((("nib", 8), ("fibre", 50), ("fisheye", 5), ("pinhole", 5), ("chip", 8))):
        nib(plant.ines, unit, walk, 200 * place, kind=kind, size=size, zone="front.cap")
    assert verdicts(plant, unit) == ["within"] * 5
    assert standing(plant, unit) == []
    nib(plant.ines, unit, walk, 500, 300, kind="solvent_pop", size=5, zone="front.cap")

    assert verdicts(plant, unit) == ["over"] * 6
    [cluster] = standing(plant, unit)
    assert cluster["rule"] == "square"
    assert cluster["text"].endswith("6 within 100 mm on a class B part; the limit is 5")


def test_where_a_rough_place_could_turn_the_verdict_it_is_not_over_but_asked_to_be_placed_finely(plant, unit):
    walk = plant.ines.start_walk(unit)
    nib(plant.ines, unit, walk)
    rough = nib(plant.ines, unit, walk, 3500, spread=800)

    assert verdicts(plant, unit) == ["within", "within"]
    [doubt] = standing(plant, unit)
    assert (doubt["outcome"], json.loads(doubt["place"])) == ("unsure", [rough])
    assert doubt["text"].endswith(f"place {plant.row('markers', rough)['tag']} finely")


def test_when_the_walk_has_ended_the_verdict_stays_as_it_was_judged(plant, unit):
    walk = plant.ines.start_walk(unit)
    nib(plant.ines, unit, walk)
    near = nib(plant.ines, unit, walk, 2500)
    assert plant.ines.finish_walk(unit, walk).outcome == "applied"
    assert verdicts(plant, unit) == ["over", "over"]

    plant.ines.do(unit, "marker_withdrawn", {"marker": near, "reason": "wiped off"})

    assert verdicts(plant, unit) == ["over", "over"]
    told = verify(plant.journal.folder.path)
    assert told.clean, told.sentence


def test_a_marker_of_a_cluster_cannot_be_left_as_it_is(plant, unit):
    walk = plant.ines.start_walk(unit)
    first = nib(plant.ines, unit, walk)
    nib(plant.ines, unit, walk, 2500)
    assert verdicts(plant, unit) == ["over", "over"]

    answer = plant.ines.do(unit, "marker_accepted", {"marker": first})

    assert (answer.outcome, plant.row("markers", first)["state"]) == ("refused", "open")
    assert "over its limit" in answer.reason


def test_a_second_pair_of_eyes_is_judged_by_its_own_marks_until_it_has_finished(plant, unit):
    walk = plant.ines.start_walk(unit)
    nib(plant.ines, unit, walk)
    second = plant.lukasz.start_walk(unit, "second")
    nib(plant.lukasz, unit, second, 2500)

    assert verdicts(plant, unit) == ["within", "within"]
    assert plant.lukasz.finish_walk(unit, second).outcome == "applied"
    assert verdicts(plant, unit) == ["over", "over"]


def test_the_feed_brings_clusters_and_keeps_from_a_blind_walk_those_with_other_peoples_marks(plant, unit):
    walk = plant.ines.start_walk(unit)
    nib(plant.ines, unit, walk)
    nib(plant.ines, unit, walk, 2500)
    verdicts(plant, unit)
    second = plant.lukasz.start_walk(unit, "second")

    [seen] = changes.of_unit(plant.journal.read(), unit, 0)["clusters"]
    assert len(seen["markers"]) == 2
    assert changes.of_unit(plant.journal.read(), unit, 0, second)["clusters"] == []


def test_the_third_of_a_kind_that_may_be_on_a_part_twice_takes_the_first_two_with_it(plant, unit):
    # Two nibs on a part of own paint in plain view: common practice, no source.
    walk = plant.ines.start_walk(unit)
    for dx in (0, 10, 20):
        nib(plant.ines, unit, walk, dx, 0, zone="left.storage_door", size=None)

    assert verdicts(plant, unit) == ["over"] * 3
    assert [row["text"] for row in standing(plant, unit)] == ["dirt nib: 3 on this class A part; the limit is 2"]


def test_markers_that_come_one_after_the_other_are_judged_together(plant, unit):
    walk = plant.ines.start_walk(unit)
    for place in range(12):
        nib(plant.ines, unit, walk, 10 * place, zone="left.storage_door", size=None)
    verdicts(plant, unit)

    said = "SELECT count(*) FROM events WHERE type = 'part_judged' AND stream = ?"
    [written] = plant.journal.read().execute(said, (f"unit:{unit}",)).fetchone()
    assert 1 <= written < 6
    assert verdicts(plant, unit) == ["over"] * 12


KILLED = """
import json, os, sys
from pathlib import Path
from inspect_app.journal import Journal, writer
from sample_units.hands import Hands

folder, person, tablet, unit, near, walk = sys.argv[1:]
journal = Journal(Path(folder))
ines = Hands(journal, person, tablet, ("inspector",), ())
journal.settled()
writer.Writer._follow = lambda self: os.kill(os.getpid(), 9)
ines.send(ines.event(unit, "marker_made", json.loads(near)), ines.event(unit, "walk_finished", {"walk": walk}))
raise SystemExit("it was not killed")
"""
"""A server that is killed when it has committed the end of a walk and goes on to what follows from it."""


def test_a_server_killed_between_the_end_of_a_walk_and_its_judgement_judges_at_its_next_start(plant, unit, tmp_path):
    walk = plant.ines.start_walk(unit)
    plant.ines.look_everywhere(unit, walk)
    nib(plant.ines, unit, walk)
    verdicts(plant, unit)
    folder = shutil.copytree(plant.journal.folder.path, tmp_path / "killed", ignore=shutil.ignore_patterns("lock"))
    spot = plant.ines.spot(unit, DOOR)
    near = {"marker": new_id(), "tag": "A2", "walk": walk, "kind": "nib", "size": 5, **spot}
    near |= {"x": spot["x"] + 2500, "spread": 0}
    told = [str(folder), plant.people["ines"], plant.ines.tablet, unit, json.dumps(near), walk]
    dead = subprocess.run(
        [sys.executable, "-c", KILLED, *told],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        check=False,
    )
    assert dead.returncode == -signal.SIGKILL, dead.stderr
    with closing(sqlite3.connect(folder / "lampwalk.db")) as db:
        assert db.execute("SELECT ended FROM unjudged").fetchall() == [(1,)]
        assert db.execute("SELECT count(*) FROM markers").fetchone() == (2,)
        assert db.execute("SELECT count(*) FROM events WHERE type = 'part_judged'").fetchone() == (0,)

    with closing(Journal(folder)) as again:
        again.settled()
        rows = again.read().execute("SELECT verdict FROM markers ORDER BY made_at, id").fetchall()
        assert [row["verdict"] for row in rows] == ["over", "over"]
    assert verify(folder).clean


def test_what_was_judged_is_owed_no_longer(plant, unit):
    walk = plant.ines.start_walk(unit)
    nib(plant.ines, unit, walk)
    nib(plant.ines, unit, walk, 2500)
    verdicts(plant, unit)
    assert plant.journal.read().execute("SELECT count(*) FROM unjudged").fetchone()[0] == 0
