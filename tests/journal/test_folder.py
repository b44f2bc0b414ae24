"""The data folder: owned by one process, closed to others, and honest after a restore."""

import shutil
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from inspect_app.journal import Journal, store
from inspect_app.journal.events import PLANT
from inspect_app.journal.folder import FolderBusy


def test_a_second_process_is_told_that_the_folder_is_taken(tmp_path):
    with Journal(tmp_path / "data"):
        code = "import sys; from inspect_app.journal import Journal; Journal(sys.argv[1])"
        second = subprocess.run([sys.executable, "-c", code, str(tmp_path / "data")], capture_output=True, text=True)

    assert second.returncode != 0
    assert "Another Lampwalk is using" in second.stderr


def test_the_folder_is_free_again_after_closing(tmp_path):
    Journal(tmp_path / "data").close()
    Journal(tmp_path / "data").close()


def test_a_folder_in_use_raises_folder_busy_in_the_same_process(tmp_path):
    with Journal(tmp_path / "data"), pytest.raises(FolderBusy):
        Journal(tmp_path / "data")


def test_secrets_and_the_store_are_for_their_owner_only(app):
    folder = app.extensions["lampwalk"].journal.folder.path
    modes = {
        name: stat.S_IMODE((folder / name).stat().st_mode) for name in ("session.key", "tickets.key", "lampwalk.db")
    }

    assert modes == {"session.key": 0o600, "tickets.key": 0o600, "lampwalk.db": 0o600}
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


@pytest.mark.parametrize("restored", [["lampwalk.db"], None], ids=["the database", "the whole folder"])
def test_tablets_are_told_of_a_restore_whichever_way_it_was_done(tmp_path, restored):
    with Journal(tmp_path / "data"):
        pass
    shutil.copytree(tmp_path / "data", tmp_path / "older")
    with Journal(tmp_path / "data") as journal:
        epoch = journal.epoch
        journal.record_server("plant", "setting_changed", {"name": "timezone", "value": "Europe/Oslo"})
    if restored is None:
        shutil.rmtree(tmp_path / "data")
        shutil.copytree(tmp_path / "older", tmp_path / "data")
    for name in restored or ():
        shutil.copy(tmp_path / "older" / name, tmp_path / "data" / name)

    with Journal(tmp_path / "data") as journal:
        assert journal.epoch != epoch


def test_heads_are_anchored_in_the_plants_chain_once_a_day(plant, monkeypatch):
    plant.unit()
    start = plant.journal.clock()
    for hours in (24, 25, 48):
        monkeypatch.setattr(plant.journal, "clock", lambda later=hours: start + later * 3_600_000)
        plant.journal.anchor()

    anchored = plant.journal.read().execute("SELECT count(*) FROM events WHERE type = 'heads_anchored'").fetchone()[0]
    assert anchored in (2, 3)


def wal_of(folder: Path) -> int:
    """Bytes that are in the log beside the file, and not in the file yet."""
    log = folder / "lampwalk.db-wal"
    return log.stat().st_size if log.exists() else 0


@pytest.mark.parametrize(("lasting", "waits"), [(True, 2), (False, 0)])
def test_an_answer_waits_for_the_disk_unless_the_plant_can_be_made_anew(tmp_path, monkeypatch, lasting, waits):
    # PRAGMA synchronous as SQLite's documentation numbers it: 0 is OFF, 2 is FULL, which waits for the disk at each commit.
    writing = []

    def connect(path, *, readonly=False, **more):
        made = opened(path, readonly=readonly, **more)
        if not readonly:
            writing.append(made)
        return made

    opened = store.connect
    monkeypatch.setattr(store, "connect", connect)

    with Journal(tmp_path / "data", lasting=lasting) as journal:
        assert writing[-1].execute("PRAGMA synchronous").fetchone()[0] == waits
        journal.record_server(PLANT, "setting_changed", {"name": "plant", "value": "Halden yard"})
        assert wal_of(tmp_path / "data") > 0

    assert wal_of(tmp_path / "data") == 0  # closing has brought all of it into the file
    with Journal(tmp_path / "data") as again:
        assert again.read().execute("SELECT value FROM settings WHERE name = 'plant'").fetchone()[0] == "Halden yard"


def test_a_start_that_fails_closes_what_it_opened_and_gives_the_folder_back(tmp_path, monkeypatch):
    opened = []

    def broken(db):
        opened.append(db)
        raise OSError("the disk is full")

    with monkeypatch.context() as patch:
        patch.setattr(store, "bring_up", broken)
        with pytest.raises(OSError, match="the disk is full"):
            Journal(tmp_path / "data")

    with pytest.raises(sqlite3.ProgrammingError, match="closed"):
        opened[0].execute("SELECT 1")
    Journal(tmp_path / "data").close()
