"""The pool: the same bytes, one clear sentence when it breaks, and nothing left running."""

import multiprocessing
import os
import signal
import subprocess
import sys
import time

import pytest

from inspect_app.sheet.data import SheetError
from inspect_app.sheet.make import make_sheet
from inspect_app.sheet.pool import SheetPool

from .samples import marker, sheet


@pytest.fixture(scope="module")
def pool():
    with SheetPool() as made:
        yield made


def test_a_sheet_from_the_pool_is_the_same_as_one_made_here(pool):
    data = sheet((marker(0), marker(1)))

    assert pool.submit(data, "letter").result(60) == make_sheet(data, paper="letter")


def test_no_process_is_started_before_the_first_sheet():
    before = set(multiprocessing.active_children())
    with SheetPool():
        assert set(multiprocessing.active_children()) == before


def test_a_refusal_comes_back_as_its_own_sentence(pool):
    with pytest.raises(SheetError, match="time zone 'Moon/Base'"):
        pool.submit(sheet((), timezone="Moon/Base")).result(60)


def test_a_worker_that_dies_gives_one_sentence_and_the_next_sheet_is_made_and_closed_it_leaves_no_process():
    before = set(multiprocessing.active_children())
    pool = SheetPool()
    pool.submit(sheet(())).result(60)
    (worker,) = set(multiprocessing.active_children()) - before
    os.kill(worker.pid, signal.SIGSTOP)  # so that it surely dies before it has answered
    waiting = [pool.submit(sheet(())) for _ in range(3)]
    os.kill(worker.pid, signal.SIGKILL)

    for one in waiting:
        with pytest.raises(SheetError, match="ask for the sheet again"):
            one.result(60)
    assert pool.submit(sheet(())).result(60).startswith(b"%PDF")
    pool.close()
    assert set(multiprocessing.active_children()) == before
    with pytest.raises(SheetError, match="server is closing"):
        pool.submit(sheet(())).result(60)


def test_the_worker_ends_when_the_server_is_killed(tmp_path):
    script = tmp_path / "server.py"
    script.write_text(
        "import multiprocessing, time\n"
        "from inspect_app.sheet.data import SheetData, Unit\n"
        "from inspect_app.sheet.pool import SheetPool\n"
        "if __name__ == '__main__':\n"
        "    unit = Unit(plant='p', chassis_number='c', last_six='123456')\n"
        "    SheetPool().submit(SheetData(unit=unit, revision='A', head='0' * 64, outline={})).result(60)\n"
        "    print(multiprocessing.active_children()[0].pid, flush=True)\n"
        "    time.sleep(600)\n"
    )
    server = subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE, text=True)
    worker = int(server.stdout.readline())
    server.kill()
    server.wait()
    server.stdout.close()

    assert gone(worker)


def gone(pid, patience=30):
    """Wait until no such process runs; a zombie nobody collects counts as gone."""
    until = time.monotonic() + patience
    while time.monotonic() < until:
        try:
            with open(f"/proc/{pid}/stat") as stat:
                if stat.read().rsplit(")", 1)[1].split()[0] == "Z":
                    return True
        except FileNotFoundError:
            return True
        time.sleep(0.05)
    return False
