"""The pictures of the docs, taken of the demo in a real browser: `make shots` writes docs/shots.

With `--all FOLDER` every page at three sizes in both themes goes to that folder instead, to be looked at.
"""

from __future__ import annotations

import argparse
import io
import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from PIL import Image

from inspect_app import create_app
from inspect_app.serving import running
from sample_units import demo, follow, people
from sample_units.chromium import FLAGS, SIZES

DOCS = Path(__file__).resolve().parents[1] / "docs" / "shots"
THEMES = ("lamp", "day")
UNITS_BY_STAGE = "SELECT id FROM units WHERE stage = ? ORDER BY markers DESC LIMIT 1"


def main(arguments: Sequence[str] | None = None) -> int:
    """Take the pictures of the docs, or all."""
    parser = argparse.ArgumentParser(prog="python -m sample_units.shots", description=__doc__.splitlines()[0])
    parser.add_argument(
        "--all", type=Path, metavar="FOLDER", help="every page, three sizes, both themes, into a folder"
    )
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory(prefix="lampwalk-shots-") as folder:
        data = Path(folder) / "demo"
        demo.make(data)
        app = create_app(data)
        house = app.extensions["lampwalk"]
        house.open()
        with running(app.wsgi_app, data_dir=data) as address:
            take(address, house, asked.all)
        house.close()
    return 0


def take(address: str, house: Any, everything: Path | None) -> None:
    """Open the browser and take them."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        camera = Camera(browser, address, house)
        if everything:
            for size in SIZES:
                for theme in THEMES:
                    for name, (who, path) in pages(house).items():
                        camera.shoot(everything / f"{name}-{size}-{theme}.png", who, path, size, theme)
        else:
            camera.shoot(DOCS / "rates.png", "Maud", "/rates", "wide", "day")
            camera.shoot(DOCS / "rework.png", "Bình", "/rework", "wide", "day")
            camera.walking(DOCS)
            camera.tutorial(DOCS)
        browser.close()


def pages(house: Any) -> dict[str, tuple[str | None, str]]:
    """Every page worth a picture: its name, who opens it, where."""
    stage = {name: _unit(house, name) for name in ("walking", "to_look_again", "to_sign", "signed", "in_rework")}
    return {
        "sign-in": (None, "/sign-in"),
        "floor": ("Ines", "/"),
        "import": ("Maud", "/setup/units/import"),
        "walk": ("Ines", f"/walk/{stage['walking']}"),
        "rework": ("Bình", "/rework"),
        "again": ("Łukasz", f"/again/{stage['to_look_again']}"),
        "sign-off": ("Ines", f"/sign-off/{stage['to_sign']}"),
        "signed": ("Maud", f"/sign-off/{stage['signed']}"),
        "concessions": ("Maud", "/concessions"),
        "rates": ("Maud", "/rates"),
        "unit": ("Maud", f"/units/{stage['in_rework']}"),
        "setup": ("Maud", "/setup"),
        "people": ("Maud", "/setup/people"),
        "catalogue": ("Maud", "/setup/catalogue"),
        "history": ("Maud", f"/units/{stage['signed']}/history"),
        "questions": ("Maud", "/questions"),
        "units": ("Maud", "/units"),
        "my-settings": ("Maud", "/my-settings"),
        "tablets": ("Maud", "/setup/tablets"),
        "tablet-code": ("Maud", "/setup/tablets/new"),
        "outbox": ("Maud", "/setup/outbox"),
        "certificate": ("Maud", "/setup/certificate"),
        "plant": ("Maud", "/setup/settings"),
        "kind": ("Maud", "/setup/catalogue/kinds/nib"),
        "limits": ("Maud", "/setup/catalogue/limits"),
        "versions": ("Maud", "/setup/catalogue/versions"),
        "outlines": ("Maud", "/setup/outlines"),
        "outline-by-numbers": ("Maud", "/setup/outlines/numbers"),
    }


def _unit(house: Any, stage: str) -> str:
    return str(house.journal.read().execute(UNITS_BY_STAGE, (stage,)).fetchone()["id"])


class Camera:
    """Pages at a size and in a theme, signed in as one of the demo's people."""

    def __init__(self, browser: Any, address: str, house: Any):
        self.browser, self.address, self.house = browser, address, house
        self.pins = {person.name: person.pin for person in people.cast()}

    def open(self, who: str | None, path: str, size: str, theme: str) -> Any:
        """Open a page and let it come to rest."""
        width, height = SIZES[size]
        context = self.browser.new_context(
            base_url=self.address, has_touch=True, viewport={"width": width, "height": height}
        )
        context.add_cookies([{"name": "theme", "value": theme, "url": self.address}])
        if who:
            self._sign_in(context, who)
        page = context.new_page()
        page.goto(path)
        page.wait_for_load_state("networkidle")
        page.wait_for_timeout(900)
        return page

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
        page = self.open("Łukasz", f"/walk/{_unit(self.house, 'walking')}", "wide", "lamp")
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
