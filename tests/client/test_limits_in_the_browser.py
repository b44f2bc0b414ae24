"""client/limits.js in Chromium judges as trade/limits.py does: the shared vectors, then every button there is."""

import json
from pathlib import Path

import pytest

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import limits

from .conftest import by_text

ROOT = Path(__file__).parents[2]
VECTORS = json.loads((ROOT / "tests" / "vectors" / "limits.json").read_text("utf-8"))
CATALOGUE = catalogues.builtin()
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page(chromium):
    """An empty page that can import the modules from disk and holds the builtin catalogue as `window.catalogue`."""
    page = chromium.new_page()
    page.route("http://van.test/**", lambda route: route.fulfill(body="<!doctype html>", content_type="text/html"))
    for script in (ROOT / "inspect_app" / "client").glob("*.js"):
        page.route(f"http://van.test/{script.name}", answered(script.read_text("utf-8")))
    page.goto("http://van.test/")
    by_text(page, "catalogue => { window.catalogue = catalogue; }", CATALOGUE.to_json())
    yield page
    page.close()


def answered(script):
    """What a route does that gives a script."""
    return lambda route: route.fulfill(body=script, content_type="text/javascript")


def run(page, body, cases):
    """Run the body once for each case `c`, with the module as `limits`, and return the answers."""
    each = f"async cases => {{ const limits = await import('/limits.js'); return cases.map((c) => {body}); }}"
    return by_text(page, each, cases)


def test_the_shared_vectors_hold_in_the_browser(page):
    told = run(page, "limits.verdict(window.catalogue, c.kind, c.class, c)", VECTORS["verdicts"])

    wanted = [(vector["outcome"], vector["text"]) for vector in VECTORS["verdicts"]]
    assert [(one["outcome"], one["text"]) for one in told] == wanted


def test_gaps_are_judged_by_their_joint_in_the_browser(page):
    told = run(page, "limits.gapVerdict(c.gap, c)", VECTORS["gaps"])
    steps = run(page, "limits.gapSteps(window.catalogue.kinds[c.kind], c.nominal)", VECTORS["gap_steps"])

    assert [(one["outcome"], one["text"]) for one in told] == [(v["outcome"], v["text"]) for v in VECTORS["gaps"]]
    assert steps == [vector["steps"] for vector in VECTORS["gap_steps"]]


def test_every_size_button_of_every_kind_gets_one_verdict_in_both(page):
    cases = [
        {"kind": kind.key, "class": name, "size": size, "count": count, "raking": raking}
        for kind in CATALOGUE.kinds.values()
        for name in CATALOGUE.classes
        for size in (None, *kind.sizes)
        for count in (1, 3)
        for raking in (False, True)
    ]

    told = run(page, "limits.verdict(window.catalogue, c.kind, c.class, c)", cases)

    ours = [
        limits.verdict(CATALOGUE, c["kind"], c["class"], size=c["size"], count=c["count"], raking=c["raking"])
        for c in cases
    ]
    assert [one["text"] for one in told] == [one.text for one in ours]
    assert [one["outcome"] for one in told] == [one.outcome for one in ours]
