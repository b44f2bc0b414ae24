"""Every link in a page of the documentation leads to a file or a heading that is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
LINK = re.compile(r"\]\(([^)\s]+)\)")


def anchors(page: Path) -> set[str]:
    """Headings of a page as they are linked to."""
    heads = re.findall(r"^#+ (.+)$", page.read_text("utf-8"), re.M)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_links_lead_somewhere(page):
    broken = []
    for link in LINK.findall(page.read_text("utf-8")):
        if re.match(r"[a-z]+:", link):
            broken.append(f"{link} leads out of the project")
            continue
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        if not target.exists():
            broken.append(f"{link} is not there")
        elif anchor and anchor not in anchors(target):
            broken.append(f"{link} has no such heading")

    assert broken == []


def test_the_readme_says_what_matters_first():
    text = (ROOT / "README.md").read_text("utf-8")

    assert [
        word for word in ("make demo", "make test", "lampwalk serve", "units import", "verify") if word not in text
    ] == []
    assert "What it does not do" in text
    assert "come first, and no figure in it is a clearance" in text
