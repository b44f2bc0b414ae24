"""Pictograms are laid into the page: what is drawn while the server is away does not ask it for them."""

import pytest
from playwright.sync_api import expect
from reworked_units import SWIRL, walked

from tests.lent import EMPTY

pytestmark = pytest.mark.browser

FORGET = """() => new Promise((done, fail) => {
  const opening = indexedDB.open("lampwalk");
  opening.onerror = fail;
  opening.onsuccess = () => {
    const store = opening.result;
    if (!store.objectStoreNames.contains("meta")) { store.close(); indexedDB.deleteDatabase("lampwalk").onsuccess = done; return; }
    const gone = store.transaction("meta", "readwrite");
    gone.objectStore("meta").delete("pictograms");
    gone.oncomplete = () => { store.close(); done(); };
  };
})"""


def test_those_of_the_last_visit_serve_while_their_file_cannot_be_had(plant, page_as):
    unit, _ = walked(plant, SWIRL)
    page = page_as("maud", EMPTY)
    laid = page.locator("[data-pictograms='']")
    for path in (f"/walk/{unit}", f"/again/{unit}", "/rework"):
        page.evaluate(FORGET)  # so that this page has to keep them
        page.goto(path)
        expect(laid).to_have_count(1)
        page.context.route("**/pictograms.svg*", lambda route: route.abort())
        page.reload()

        expect(laid).to_have_count(1)
        assert page.locator("body > svg symbol").count() > 40, path
        expect(page.locator("main use[href^='#']").first).to_be_attached()
        page.context.unroute("**/pictograms.svg*")
