"""docs/dependencies.md names every dependency, with the licence that its installed package declares."""

from __future__ import annotations

import re
import tomllib
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
TEXT = (ROOT / "docs" / "dependencies.md").read_text("utf-8")
RUNTIME = [Requirement(text).name for text in PROJECT["dependencies"]]
TEST = [Requirement(text).name for text in PROJECT["optional-dependencies"]["test"]]
LICENCES = {
    cells[0]: cells[column]
    for line in TEXT.splitlines()
    if line.startswith("| ")
    for cells in [[cell.strip() for cell in line.strip("| ").split(" | ")]]
    for column in [-2 if len(cells) == 4 else -1]
}
COPYLEFT = re.compile(r"\b(A?GPL|GNU (Affero )?General Public)", re.I)


def declared(name: str) -> str:
    """What a package says of its own licence in its metadata, in a line."""
    found = metadata.metadata(name)
    classifiers = [c.rpartition(" :: ")[2] for c in found.get_all("Classifier") or [] if c.startswith("License ::")]
    return (
        found.get("License-Expression") or " ".join(classifiers) or found.get("License") or first_line_of_licence(name)
    )


def first_line_of_licence(name: str) -> str:
    """For packages whose metadata says nothing: the title of the licence file they carry."""
    file = next(file for file in metadata.files(name) or [] if file.name.upper().startswith("LICENSE"))
    return file.read_text().strip().splitlines()[0]


@pytest.mark.parametrize("name", RUNTIME + TEST)
def test_every_dependency_is_told_with_its_licence(name):
    assert name in LICENCES, f"docs/dependencies.md does not name {name}"
    # "BSD License" and "MIT License" are older, looser words for the SPDX names of today.
    loose = {"BSD License": "BSD-3-Clause", "MIT License": "MIT", "Python Software Foundation License": "PSFL"}
    said = declared(name)

    assert LICENCES[name] in {said, *(spdx for words, spdx in loose.items() if words in said)}


def test_the_extra_for_heic_is_told_with_what_it_bundles():
    assert [Requirement(text).name for text in PROJECT["optional-dependencies"]["heic"]] == ["pillow-heif"]
    told = TEXT.split("**pillow-heif**")[1].split("\n- ")[0]
    assert "GPL-2.0" in told
    assert "x265" in told


def test_nothing_is_told_that_is_no_dependency():
    assert sorted(LICENCES.keys() - {*RUNTIME, *TEST, "package", "---"}) == []


def needed_by(names: list[str]) -> set[str]:
    """Packages installed for these, and for those, without extras."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        found.add(name)
        wanted = (Requirement(text) for text in metadata.requires(name) or [])
        waiting += [one.name for one in wanted if one.marker is None or one.marker.evaluate({"extra": ""})]
    return found


def test_no_run_time_dependency_is_under_the_gpl_or_agpl():
    packages = needed_by(RUNTIME)

    assert {"werkzeug", "numpy"} <= {name.lower() for name in packages}
    assert [f"{name}: {declared(name)}" for name in packages if COPYLEFT.search(declared(name))] == []


@pytest.mark.parametrize(
    ("said", "copyleft"),
    [
        ("AGPL-3.0-only", True),
        ("GPL-2.0-or-later", True),
        ("GNU General Public License v3 (GPLv3)", True),
        ("LGPL-3.0-or-later", False),
        ("GNU Lesser General Public License v3 (LGPLv3)", False),
        ("MIT", False),
    ],
)
def test_the_search_for_copyleft_knows_it_from_the_rest(said, copyleft):
    assert bool(COPYLEFT.search(said)) == copyleft
