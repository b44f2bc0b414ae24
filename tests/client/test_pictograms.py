"""The pictograms: one for every kind and caution, on one grid, and told apart at 24 px (seen in Chromium)."""

import io
import re
from itertools import combinations
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageFilter, ImageStat

from inspect_app.trade import catalogue as catalogues

SPRITE = Path(__file__).parents[2] / "inspect_app" / "client" / "pictograms.svg"
TEXT = SPRITE.read_text("utf-8")
IDS = re.findall(r'<symbol id="([^"]+)"', TEXT)
CATALOGUE = catalogues.builtin()
CELL = 24
ALIKE = 0.7  # common ink above which two drawings are taken for each other: two clouds that differed by a tick had 0.83


def test_every_kind_and_caution_has_its_pictogram_and_none_is_left_over():
    wanted = {row.pictogram for row in (*CATALOGUE.kinds.values(), *CATALOGUE.cautions.values())}

    assert {one for one in IDS if not one.startswith("ui-")} == wanted
    assert len(IDS) == len(set(IDS))


def test_all_are_lines_in_the_colour_of_the_text_on_one_grid():
    symbols = re.findall(r"<symbol [^>]*>", TEXT)

    assert all('viewBox="0 0 24 24"' in one and 'stroke="currentColor"' in one for one in symbols)
    assert not re.search(r'style=|#[0-9a-f]{3}|stroke-width|(?:href|src)="http', TEXT)


@pytest.fixture(scope="module")
def page(chromium):
    page = chromium.new_page(viewport={"width": CELL * len(IDS), "height": CELL})
    drawn = "".join(f'<svg width="24" height="24" stroke-width="1.6"><use href="#{one}"></use></svg>' for one in IDS)
    page.set_content(f"<style>body{{margin:0;display:flex}}</style>{drawn}<div hidden>{TEXT}</div>")
    yield page
    page.close()


@pytest.mark.browser
def test_nothing_is_cut_off_at_the_edge_of_the_grid(page):
    boxes = page.evaluate("""() => [...document.querySelectorAll('use')].map((use) => {
        const box = use.getBBox();
        return [use.getAttribute('href').slice(1), box.x, box.y, box.x + box.width, box.y + box.height];
    })""")

    outside = [name for name, *edges in boxes if min(edges[:2]) < 0.8 or max(edges[2:]) > 23.2]
    assert outside == []


@pytest.mark.browser
def test_no_two_are_taken_for_each_other_at_24_pixels(page):
    strip = Image.open(io.BytesIO(page.screenshot())).convert("L").point(lambda value: 255 - value)
    cells = {one: strip.crop(inner(one, n)) for n, one in enumerate(IDS)}
    inks = {one: cell.filter(ImageFilter.GaussianBlur(0.8)) for one, cell in cells.items()}

    alike = [
        (a, b)
        for a, b in combinations(IDS, 2)
        if a.split("-")[0] == b.split("-")[0] and share(inks[a], inks[b]) > ALIKE
    ]

    assert all(ink.getbbox() for ink in inks.values())
    assert alike == []


def inner(name, place):
    """The box of a drawing on the strip; of a caution only what is inside its card, since all share the card."""
    edge = 4 if name.startswith("caution-") else 0
    return (CELL * place + edge, edge, CELL * place + CELL - edge, CELL - edge)


def share(one, other):
    """How much of the ink of two drawings lies on the same pixels: 0 none, 1 all."""
    both, either = ImageChops.darker(one, other), ImageChops.lighter(one, other)
    return ImageStat.Stat(both).sum[0] / ImageStat.Stat(either).sum[0]
