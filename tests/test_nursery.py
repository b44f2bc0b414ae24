"""A forked process is one like any other: its streams, its exit code, how it is killed."""

import signal
import subprocess
import sys

import pytest

from tests.nursery import Forked

SCRIPT = """
import sys
print(sys.argv[1:], __name__, flush=True)
sys.stderr.write("to the side")
match sys.argv[1]:
    case "fails":
        raise SystemExit(7)
    case "falls":
        raise ValueError("it fell")
    case "waits":
        import time
        time.sleep(60)
"""


@pytest.fixture
def script(tmp_path):
    made = tmp_path / "script.py"
    made.write_text(SCRIPT)
    return made


@pytest.mark.parametrize("how", ["ends", "fails", "falls"])
def test_it_says_and_ends_as_one_that_was_started_anew(script, tmp_path, how):
    anew = subprocess.run([sys.executable, script, how, "ä b"], capture_output=True, text=True, check=False)
    with (tmp_path / "errors").open("w+") as errors:
        forked = Forked([script, how, "ä b"], stderr=errors)
        said = forked.stdout.read()

    assert (said, forked.wait(30)) == (anew.stdout, anew.returncode)
    told = (tmp_path / "errors").read_text()
    assert told.startswith("to the side")
    assert told.splitlines()[-1] == anew.stderr.splitlines()[-1]
    forked.close()


def test_it_can_be_killed_and_waited_for_and_what_has_ended_is_left_alone(script):
    forked = Forked([script, "waits"])
    assert forked.stdout.readline() == "['waits'] __main__\n"
    with pytest.raises(subprocess.TimeoutExpired):
        forked.wait(0.01)

    forked.send_signal(signal.SIGKILL)

    assert forked.wait(30) == -signal.SIGKILL
    forked.send_signal(signal.SIGTERM)
    forked.close()


def test_a_module_is_run_as_by_its_name():
    forked = Forked(["-m", "inspect_app", "--help"])

    assert forked.stdout.read().startswith("usage: lampwalk")
    assert forked.wait(30) == 0
    forked.close()
