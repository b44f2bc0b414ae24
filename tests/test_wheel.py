"""The built wheel, not the checkout: it carries every data file, and the application runs from it."""

import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
CODE = """
import sys, tempfile
sys.path.insert(0, sys.argv[1])
import inspect_app
assert inspect_app.__file__.startswith(sys.argv[1]), inspect_app.__file__
app = inspect_app.create_app(tempfile.mkdtemp())
client = app.test_client()
for path in ("/first", "/healthz", "/client/css/tokens.css", "/client/pictograms.svg", "/client/outbox.js"):
    assert client.get(path).status_code == 200, path
app.extensions["lampwalk"].close()
print("ran")
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    files = subprocess.run(
        ["git", "-C", str(ROOT), "ls-files", "inspect_app", "pyproject.toml", "README.md", "LICENSE"],
        check=True, capture_output=True, text=True,
    ).stdout.split("\n")  # fmt: skip
    for name in filter(None, files):
        target = source / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes((ROOT / name).read_bytes())
    # The hook that pip calls (PEP 517), without pip: it takes as long again to load.
    backend = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["build-system"]["build-backend"]
    build = f"from {backend} import build_wheel; build_wheel({str(folder)!r})"
    subprocess.run([sys.executable, "-c", build], cwd=source, check=True, capture_output=True)
    return next(folder.glob("lampwalk-*.whl")), [name for name in files if name.startswith("inspect_app/")]


def test_the_wheel_carries_every_file_of_the_package(wheel):
    built, tracked = wheel

    assert sorted(set(tracked) - set(zipfile.ZipFile(built).namelist())) == []


def test_the_application_runs_from_the_wheel(wheel, tmp_path):
    zipfile.ZipFile(wheel[0]).extractall(tmp_path / "site")

    told = subprocess.run(
        [sys.executable, "-c", CODE, str(tmp_path / "site")], capture_output=True, text=True, cwd=tmp_path
    )

    assert told.stdout.strip() == "ran", told.stderr
