"""Schema steps: named, in order, each whole or not at all, and forwards only."""

import pytest
from sqlite_utils import Database, Migrations

from inspect_app.journal import store
from inspect_app.journal.schema import PROJECTIONS, migrations

STEPS = ["events_and_plant", "units_and_work", "changes_feed", "server_notes"]


def test_a_new_folder_gets_every_step_in_order(tmp_path):
    store.migrate(tmp_path / "a.db")

    applied = [step.name for step in migrations.applied(Database(tmp_path / "a.db"))]
    assert applied[: len(STEPS)] == STEPS


def test_migrating_twice_changes_nothing(tmp_path):
    store.migrate(tmp_path / "a.db")
    before = Database(tmp_path / "a.db").schema
    store.migrate(tmp_path / "a.db")

    assert Database(tmp_path / "a.db").schema == before
    assert migrations.pending(Database(tmp_path / "a.db")) == []


def test_a_step_that_fails_half_way_leaves_nothing_behind(tmp_path):
    broken = Migrations("lampwalk")

    @broken()
    def half(db):
        db.execute("CREATE TABLE half_done (id TEXT)")
        db.execute("this is no SQL")

    db = Database(tmp_path / "a.db")
    with pytest.raises(Exception, match="syntax error"):
        broken.apply(db)

    assert "half_done" not in db.table_names()
    assert list(broken.applied(db)) == []


def test_a_sheet_from_before_its_paper_was_noted_still_opens_as_a4(tmp_path):
    db = Database(tmp_path / "a.db")
    migrations.apply(db, stop_before="sheet_opens_as")
    signed = {"unit": "u", "revision": "A", "head": "", "signed_by": "p", "signed_at": 1, "signed_event": "e", "n": 1}
    db["sheets"].insert({**signed, "state": "issued"})

    migrations.apply(db)

    assert [row["paper"] for row in db["sheets"].rows] == ["a4"]


def test_a_plan_written_in_the_order_in_which_it_came_is_put_into_that_of_the_events(tmp_path):
    db = Database(tmp_path / "a.db")
    migrations.apply(db, stop_before="jobs_of_a_plan")
    told = dict.fromkeys(("booth", "cost", "minutes", "look_minutes", "at", "n"), 1)
    told |= dict.fromkeys(("unit", "person", "text", "counted", "refinish", "blends"), "x")
    db["plans"].insert({"id": "p", **told, "otherwise": '[{"part": "bonnet", "chosen": "spots"}]', "markers": "{}"})

    migrations.apply(db)

    assert [row["otherwise"] for row in db["plans"].rows] == ['[{"chosen": "spots", "part": "bonnet"}]']


def test_every_projection_carries_the_running_number_of_its_last_change(tmp_path):
    store.migrate(tmp_path / "a.db")
    db = Database(tmp_path / "a.db")

    assert [table for table in PROJECTIONS if "n" not in db[table].columns_dict] == []


def test_the_file_is_durable_and_checks_its_references(tmp_path):
    store.migrate(tmp_path / "a.db")
    db = store.connect(tmp_path / "a.db")

    pragmas = {
        name: db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous", "foreign_keys")
    }
    assert pragmas == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
    db.close()
