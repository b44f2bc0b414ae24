"""What axe and a narrow screen find wrong with a page, in both themes and at every size, from one opening of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from sample_units.chromium import SIZES

WIDER = "() => document.documentElement.scrollWidth > innerWidth"
WORN = "() => document.documentElement.dataset.theme"
THEME = "(theme) => { document.documentElement.dataset.theme = theme; }"
RUN = "([without, options]) => axe.run({ exclude: without }, options).then(({ violations }) => violations)"
ALIKE = ["li:nth-child(n + 9)", "tr:nth-child(n + 9)"]  # the rest of a long list looks as its first lines do
WCAG = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]
# What is asked of the whole page, and what of pages without the rest of their lists, for it takes long.
MEANING = ({"runOnly": WCAG, "rules": {"color-contrast": {"enabled": False}}}, [])
COLOURS = ({"runOnly": ["color-contrast"]}, ALIKE)
TARGETS = ({"runOnly": ["target-size"]}, ALIKE)
ASKED = {"wide": ("lamp", (MEANING, COLOURS)), "tall": ("day", (COLOURS,)), "phone": ("day", (TARGETS,))}
BOTH = ({"runOnly": WCAG}, [])  # meaning and colours of a page without a long list, at one go
LONG = "(alike) => alike.some((one) => document.querySelector(one))"


def faults(page: Page, options: dict[str, Any] | None = None, without: list[str] | None = None) -> list[str]:
    """Rules broken by the page as it stands, each with the first element that breaks it.

    `options`: axe's, all its rules when left out. `without`: selectors of what is not looked at.
    """
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(Axe().axe_script)
    found = page.evaluate(RUN, [without or [], {"resultTypes": ["violations"], **(options or {})}])
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


def at_each_size(page: Page) -> Iterator[str]:
    """Give the open page the size of each screen in turn, and in the end the one it had."""
    before = page.viewport_size
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        yield size
    page.set_viewport_size(before)


def faults_everywhere(page: Page, also: Callable[[], list[str]] = list) -> list[str]:
    """WCAG's levels A and AA on a wide screen, colours in both themes, targets on a phone, sideways scrolling at each size.

    `also`: what a test looks for at each size besides.
    """
    found, before = [], page.evaluate(WORN)
    for size in at_each_size(page):
        theme, asked = ASKED[size]
        page.evaluate(THEME, theme)
        if MEANING in asked and not page.evaluate(LONG, ALIKE):
            asked = (BOTH,)
        found += [f"{size}, {theme}, {fault}" for one in asked for fault in faults(page, *one)]
        if page.evaluate(WIDER):
            found.append(f"{size} scrolls sideways")
        found += [f"{size}: {fault}" for fault in also()]
    page.evaluate(THEME, before)
    return found
