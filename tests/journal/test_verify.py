"""`lampwalk verify`: what it finds when something inside was changed."""

import sqlite3

import pytest

from inspect_app.cli import main
from inspect_app.journal.verify import verify


@pytest.fixture
def worked(plant):
    """A unit with a marker, walked, reworked, looked at again and signed, in a closed data folder."""
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=15)
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])
    return plant.journal.folder.path


def tamper(folder, sql):
    with sqlite3.connect(folder / "lampwalk.db") as db:
        db.execute(sql)


def test_an_untouched_folder_is_clean(worked):
    told = verify(worked)

    assert told.clean, told.sentence


@pytest.mark.parametrize(
    ("sql", "said"),
    [
        ("UPDATE markers SET size = 3", "markers: 'size'"),
        ("DELETE FROM looks WHERE zone = 'left.sill'", "missing"),
        ("INSERT INTO blobs VALUES ('00', 1, 1, 1, 1)", "follows from no event"),
        ("UPDATE events SET body = replace(body, '\"size\":15', '\"size\":3')", "its words are not the ones"),
        ("UPDATE events SET person = 'x' WHERE type = 'work_done'", "its words are not the ones"),
        ("DELETE FROM events WHERE type = 'zone_looked' AND stream_seq = 9", "does not follow"),
        ("DELETE FROM events WHERE n = (SELECT max(n) FROM events)", "missing or were added"),
        ("UPDATE private SET content = replace(content, 'Ines', 'Inez')", "not the ones that were sealed"),
    ],
)
def test_a_change_inside_is_found_and_named(worked, sql, said):
    tamper(worked, sql)

    told = verify(worked)

    assert not told.clean
    assert said in told.sentence


def test_the_command_exits_with_1_and_says_what_is_off(worked, capsys):
    tamper(worked, "UPDATE markers SET severity = 'S1'")

    assert main(["verify", "--data", str(worked)]) == 1
    assert "severity" in capsys.readouterr().err


def test_the_command_names_a_folder_that_holds_nothing(tmp_path, capsys):
    assert main(["verify", "--data", str(tmp_path)]) == 1
    assert "no Lampwalk data" in capsys.readouterr().err
