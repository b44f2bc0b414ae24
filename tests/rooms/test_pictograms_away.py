"""Pictograms are laid into the page: what is drawn while the server is away does not ask it for them."""

import pytest
from playwright.sync_api import expect
from reworked_units import SWIRL, walked

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(("who", "path"), [("ines", "/walk/{unit}"), ("maud", "/again/{unit}"), ("per", "/rework")])
def test_those_of_the_last_visit_serve_while_their_file_cannot_be_had(plant, page_as, who, path):
    unit, _ = walked(plant, SWIRL)
    page = page_as(who, path.format(unit=unit))
    expect(page.locator("[data-pictograms='']")).to_have_count(1)
    page.context.route("**/pictograms.svg*", lambda route: route.abort())
    page.reload()

    expect(page.locator("[data-pictograms='']")).to_have_count(1)
    assert page.locator("body > svg symbol").count() > 40
    expect(page.locator("main use[href^='#']").first).to_be_attached()
