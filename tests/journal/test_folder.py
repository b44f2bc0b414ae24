"""The data folder: owned by one process, closed to others, and honest after a restore."""

import shutil
import stat
import subprocess
import sys

import pytest

from inspect_app.journal import Journal
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
