"""An outline of the plant's own, made by touch in Setup."""

from __future__ import annotations

from playwright.sync_api import expect


def arrived(page) -> str:
    """Wait for the page of the outline that was kept; its hash."""
    page.set_default_timeout(60_000)
    page.wait_for_function("() => /outlines\\/[0-9a-f]{64}$/.test(location.pathname)")
    return page.url.rpartition("/")[2]


def for_model(page, make="Brennach", model="Tourer 6"):
    """Choose what new units are drawn on the outline whose page is open."""
    page.fill("#make", make)
    page.fill("#model", model)
    page.get_by_role("button", name="Draw new ones on this").tap()
    expect(page.locator(".says, .outline-model").filter(has_text=f"{make} {model}").first).to_be_visible()


def by_numbers(page) -> str:
    """Setup, Outlines, "New, by numbers": type, look, keep; the hash."""
    page.get_by_role("link", name="New, by numbers").tap()
    for field, value in (("name", "Short one"), ("length_mm", "5400"), ("wheelbase_mm", "3300"), ("height_mm", "2480")):
        page.fill(f"#{field}", value)
    page.get_by_label("Mid").check()
    page.get_by_label("On the left").check()
    page.get_by_role("button", name="Look at it").tap()
    expect(page.locator(".outline-view")).to_have_count(5, timeout=60_000)
    page.get_by_role("button", name="Keep this outline").tap()
    return arrived(page)
