"""Every page a person meets, once: large type cuts no word off, and the keypad for the last six is one tap away.

Nor does a page run off the screen, on a tablet held upright and on a phone.
"""

from __future__ import annotations

import pytest
from desk import Desk
from playwright.sync_api import expect
from signed_units import ready

from sample_units.chromium import SIZES
from tests.lent import EMPTY

# Words that are wider than their box, or right of the screen where nothing scrolls; what only a screen reader says is no word to see.
CUT = """() => {
  const out = document.documentElement.scrollWidth > innerWidth ? ['the page'] : [];
  const aside = '.unseen, .skip, [hidden], dialog, svg, thead, .bench-tool, .ruled-scroll, #laps, .sizes, .rooms, .rail, details:not([open]) > :not(summary)';
  for (const one of document.querySelectorAll('body *')) {
    if (!(one instanceof HTMLElement) || one.closest(aside) || ![...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim())) continue;
    const box = one.getBoundingClientRect();
    if (box.width === 0) continue;
    const style = getComputedStyle(one);
    const cut = one.clientWidth > 0 && style.display !== 'inline' && style.textOverflow !== 'ellipsis' && one.scrollWidth > one.clientWidth + 1;
    if (cut || box.right > innerWidth + 1) out.push(`${one.tagName}.${one.className} ${one.textContent.trim().slice(0, 40)}`);
  }
  return out;
}"""


LESSER = "(one) => { const { width, height } = one.getBoundingClientRect(); return Math.min(width, height); }"
LEAST = 48  # px; the touch target this house asks for (WCAG 2.2, 2.5.8, asks for 24)
PAGES = (
    "/", "/units", "/units/{unit}", "/units/{unit}/history", "/units/{unit}/correct", "/walk/{other}", "/again/{unit}",
    "/rework", "/again", "/sign-off", "/sign-off/{unit}", "/concessions", "/rates", "/questions",
    "/my-settings", "/setup", "/setup/people", "/setup/tablets", "/setup/settings", "/setup/outlines",
    "/setup/units/import", "/not-there",
)  # fmt: skip
OF_A_UNIT = ("/walk/{other}", "/again/{unit}", "/sign-off/{unit}")  # their strip tells of it too
ALIKE = (
    "/units/{unit}/history", "/units/{unit}/correct", "/questions", "/my-settings", "/setup/tablets", "/setup/outlines",
    "/not-there",
)  # fmt: skip
"""Their strip is the one of the pages before them."""


@pytest.mark.browser
def test_on_every_page_large_type_cuts_no_word_off_and_the_keypad_is_one_tap_away(plant, page_as):
    unit, other = ready(plant), plant.unit("104233")
    page = page_as("maud", EMPTY, size="phone")
    page.context.add_cookies([{"name": "type", "value": "large", "url": page.url}])
    cut, small, wide = {}, {}, {}
    for path in PAGES:
        answer = page.goto(path.format(unit=unit, other=other))
        assert answer.ok or path == "/not-there", path
        assert page.evaluate("document.documentElement.dataset.type") == "large"
        for size in ("phone", "tall"):
            to(page, size)
            cut[f"{path} {size}"] = page.evaluate(CUT)

        if path in ALIKE:
            continue
        page.evaluate("() => { delete document.documentElement.dataset.type; }")
        button = page.locator(".strip [data-find-unit]")
        expect(button).to_have_count(1)
        for size in ("tall", "wide", "phone"):
            to(page, size)
            small[f"{path} {size}"] = button.evaluate(LESSER)
        if path in OF_A_UNIT:
            expect(page.locator(".strip h1")).to_contain_text("104" if "other" in path else "047")
            wide[path] = page.evaluate("document.documentElement.scrollWidth")
            assert page.locator(".strip").bounding_box()["height"] <= 2 * 60, path
        button.tap()
        expect(page.get_by_role("dialog")).to_contain_text("Find a unit")
    assert {where: words for where, words in cut.items() if words} == {}
    assert {where: side for where, side in small.items() if side < LEAST} == {}
    assert {where: width for where, width in wide.items() if width > 390} == {}
    assert list(wide) == list(OF_A_UNIT)


def to(page, size):
    """Give the page the size of a screen."""
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})


@pytest.mark.parametrize("path", ["/not-there", "/units/find?last6=047"])
def test_a_page_without_scripts_of_its_own_says_truly_what_is_sent(client_as, path):
    page = Desk(client_as("ines")).get(path).text

    assert "data-sent" in page
    assert "desk.js" in page
