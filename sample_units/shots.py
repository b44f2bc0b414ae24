"""The pictures of the docs, taken of the demo in a real browser: `make shots` writes docs/shots.

With `--all FOLDER` every page at three sizes in both themes goes to that folder instead, to be looked at: of the demo,
of another plant made here (`--plant DATA`, not being served), or of one with people and nothing else (`--empty`).
"""

from __future__ import annotations

import argparse
import io
import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from PIL import Image

from inspect_app import create_app
from inspect_app.journal import Journal
from inspect_app.serving import running
from sample_units import demo, follow, people
from sample_units.chromium import FLAGS, SIZES
from sample_units.shot_pages import Page, pages, unit_of

DOCS = Path(__file__).resolve().parents[1] / "docs" / "shots"
THEMES = ("lamp", "day")


def main(arguments: Sequence[str] | None = None) -> int:
    """Take the pictures of the docs, or all."""
    parser = argparse.ArgumentParser(prog="python -m sample_units.shots", description=__doc__.splitlines()[0])
    parser.add_argument(
        "--all", type=Path, metavar="FOLDER", help="every page, three sizes, both themes, into a folder"
    )
    parser.add_argument("--plant", type=Path, metavar="DATA", help="of a data folder instead of the demo")
    parser.add_argument("--empty", action="store_true", help="of a plant with people and nothing else")
    parser.add_argument("--only", nargs="+", default=(), metavar="NAME", help="of all pages only these")
    parser.add_argument("--size", choices=SIZES, nargs="+", default=list(SIZES), help="of all sizes only these")
    parser.add_argument("--whole", action="store_true", help="down to the end of the page, not one screen of it")
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory(prefix="lampwalk-shots-") as folder, _plant(asked, Path(folder)) as data:
        app = create_app(data)
        house = app.extensions["lampwalk"]
        house.open()
        with running(app.wsgi_app, data_dir=data) as address:
            take(address, house, asked)
        house.close()
    return 0


@contextmanager
def _plant(asked: argparse.Namespace, beside: Path) -> Iterator[Path]:
    """The data folder of the plant that is pictured."""
    data: Path = asked.plant or beside / "plant"
    if asked.empty:
        with Journal(data) as journal:
            people.hire_all(journal, people.cast())
    elif asked.plant is None:
        demo.make(data)
    yield data


def take(address: str, house: Any, asked: argparse.Namespace) -> None:
    """Open the browser and take them."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        camera = Camera(browser, address, house)
        if asked.all:
            known = {name: page for name, page in pages(house).items() if name in (asked.only or pages(house))}
            for size in asked.size:
                for theme in THEMES:
                    camera.round(known, asked.all, size, theme, whole=asked.whole)
        else:
            camera.shoot(DOCS / "rates.png", "Maud", "/rates", "wide", "day")
            camera.shoot(DOCS / "rework.png", "Bình", "/rework", "wide", "day")
            camera.walking(DOCS)
            camera.tutorial(DOCS)
        browser.close()


class Camera:
    """Pages at a size and in a theme, signed in as one of the demo's people."""

    def __init__(self, browser: Any, address: str, house: Any):
        self.browser, self.address, self.house = browser, address, house
        self.pins = {person.name: person.pin for person in people.cast()}

    def open(self, who: str | None, path: str, size: str, theme: str) -> Any:
        """Open a page and let it come to rest."""
        return self._at(self._context(who, size, theme), path)

    def _context(self, who: str | None, size: str, theme: str) -> Any:
        width, height = SIZES[size]
        context = self.browser.new_context(
            base_url=self.address, has_touch=True, viewport={"width": width, "height": height}, reduced_motion="reduce"
        )
        context.add_cookies([{"name": "theme", "value": theme, "url": self.address}])
        if who:
            self._sign_in(context, who)
        return context

    def _at(self, context: Any, path: str) -> Any:
        page = context.new_page()
        page.goto(path)
        page.wait_for_load_state("networkidle")
        page.wait_for_timeout(900)
        return page

    def round(self, known: Mapping[str, Page], folder: Path, size: str, theme: str, *, whole: bool) -> None:
        """Take many pages at one size in one theme, each person signed in once; name what scrolls sideways."""
        contexts: dict[str | None, Any] = {}
        for name, (who, path) in known.items():
            if who not in contexts:
                contexts[who] = self._context(who, size, theme)
            page = self._at(contexts[who], path)
            if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
                print(f"{name} scrolls sideways ({size}, {theme})", file=sys.stderr)
            keep(page.screenshot(full_page=whole), folder / f"{name}-{size}-{theme}.png")
            page.close()
        for context in contexts.values():
            context.close()

    def _sign_in(self, context: Any, who: str) -> None:
        names = context.request.get("/sign-in/names").json()["people"]
        person = next(one for one in names if who in one["name"])
        pin = self.pins[person["name"]]
        headers = {"X-Lampwalk": "1", "Origin": self.address}
        answer = context.request.post("/sign-in", data={"person": person["person"], "pin": pin}, headers=headers)
        if not answer.ok:
            raise RuntimeError(answer.text())

    def shoot(self, file: Path, who: str | None, path: str, size: str, theme: str) -> None:
        """Take one page."""
        page = self.open(who, path, size, theme)
        keep(page.screenshot(), file)
        page.context.close()

    def walking(self, folder: Path) -> None:
        """The README's picture: the walk of a van with its marks, in the lamp theme."""
        page = self.open("Łukasz", f"/walk/{unit_of(self.house, 'walking')}", "wide", "lamp")
        page.tap("#rail [data-view=left]")
        page.wait_for_timeout(900)
        keep(page.screenshot(), folder / "walk-wide-lamp.png")
        page.context.close()

    def tutorial(self, folder: Path) -> None:
        """One picture a step of the tutorial, numbered in its order."""
        taken: list[str] = []

        def picture(page: Any, name: str) -> None:
            page.wait_for_timeout(900)
            taken.append(name)
            keep(page.screenshot(), folder / f"step-{len(taken):02}-{name}.png")

        pdf = follow.follow(lambda who, path: self.open(who, path, "wide", "day"), picture)
        keep(follow.first_page(pdf), folder / "sheet.png")


def keep(png: bytes, file: Path) -> None:
    """Save a picture in few colours: line drawings need no more, and a clone should stay small."""
    file.parent.mkdir(parents=True, exist_ok=True)
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    picture.quantize(128, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE).save(file, optimize=True)


if __name__ == "__main__":
    sys.exit(main())
