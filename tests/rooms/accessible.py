"""What axe and a narrow screen find wrong with a page, in both themes and at every size, from one opening of it."""

from __future__ import annotations

from collections.abc import Iterator

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from sample_units.chromium import SIZES

RULES = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]
WIDER = "() => document.documentElement.scrollWidth > innerWidth"
WORN = "() => document.documentElement.dataset.theme"
THEME = "(theme) => { document.documentElement.dataset.theme = theme; }"


ASKED = {"wide": ("lamp", RULES), "tall": ("day", ["color-contrast"]), "phone": ("day", ["target-size"])}
ALIKE = "li:nth-child(n + 9), tr:nth-child(n + 9)"  # the rest of a long list has the colours of its first lines
RUN = "(how) => axe.run({ exclude: how.without }, how.options).then(({ violations }) => violations)"


def faults(page: Page, only: list[str] | None = None, without: list[str] | None = None) -> list[str]:
    """Rules broken by the page as it stands, each with the first element that breaks it.

    `only`: names of rules or tags (WCAG levels); all rules of axe when it is left out. `without`: selectors of what is not looked at.
    """
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(Axe().axe_script)
    options = {"resultTypes": ["violations"], **({"runOnly": only} if only else {})}
    found = page.evaluate(RUN, {"options": options, "without": without or []})
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


def at_each_size(page: Page) -> Iterator[str]:
    """Give the open page the size of each screen in turn, and in the end the one it had."""
    before = page.viewport_size
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        yield size
    page.set_viewport_size(before)


def faults_everywhere(page: Page) -> list[str]:
    """Levels A and AA on a wide screen under the lamps; colours by day; targets on a phone; sideways scrolling at each size."""
    found, before = [], page.evaluate(WORN)
    for size in at_each_size(page):
        theme, only = ASKED[size]
        page.evaluate(THEME, theme)
        found += [f"{size}, {theme}, {fault}" for fault in faults(page, only, [ALIKE] if only != RULES else None)]
        if page.evaluate(WIDER):
            found.append(f"{size} scrolls sideways")
    page.evaluate(THEME, before)
    return found
