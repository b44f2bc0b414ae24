"""Large type on every page a person meets: no word is cut off and no page runs off the screen, on a tablet held upright and on a phone."""

from __future__ import annotations

import pytest
from desk import Desk
from signed_units import ready

from sample_units.chromium import SIZES

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


@pytest.mark.browser
def test_large_type_cuts_no_word_off_on_any_page(plant, page_as):
    unit, other = ready(plant), plant.unit("104233")
    paths = [
        "/",
        "/units",
        f"/units/{unit}",
        f"/units/{unit}/history",
        f"/units/{unit}/correct",
        f"/walk/{other}",
        f"/again/{unit}",
    ]
    paths += [
        "/rework",
        "/again",
        "/sign-off",
        f"/sign-off/{unit}",
        "/concessions",
        "/rates",
        "/questions",
        "/my-settings",
    ]
    paths += [
        "/setup",
        "/setup/people",
        "/setup/tablets",
        "/setup/settings",
        "/setup/outlines",
        "/setup/units/import",
        "/not-there",
    ]
    page = page_as("maud", "/setup")
    page.context.add_cookies([{"name": "type", "value": "large", "url": page.url}])
    found = {}
    for path in paths:
        page.goto(path)
        for size in ("tall", "phone"):
            width, height = SIZES[size]
            page.set_viewport_size({"width": width, "height": height})
            found[f"{path} {size}"] = page.evaluate(CUT)
        assert page.evaluate("document.documentElement.dataset.type") == "large"
    assert {where: cut for where, cut in found.items() if cut} == {}


@pytest.mark.parametrize("path", ["/not-there", "/units/find?last6=047"])
def test_a_page_without_scripts_of_its_own_says_truly_what_is_sent(client_as, path):
    page = Desk(client_as("ines")).get(path).text

    assert "data-sent" in page
    assert "desk.js" in page
