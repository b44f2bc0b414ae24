"""A page lent twice knows nothing of the first time, and one that cannot be emptied is not lent again."""

import pytest
from werkzeug.test import Client
from werkzeug.wrappers import Response

from tests.lent import Standing, Tablets

pytestmark = pytest.mark.browser

STORE = """async () => {
  localStorage.left = sessionStorage.left = document.cookie = 'left=1';
  await new Promise((done) => {
    const asked = indexedDB.open('left');
    asked.onupgradeneeded = () => asked.result.createObjectStore('left');
    asked.onsuccess = done;
  });
}"""
LEFT = """async () => [localStorage.left, sessionStorage.left, document.cookie, (await indexedDB.databases()).length,
  navigator.onLine, innerWidth]"""


@pytest.fixture(params=[True, False], ids=["of the standing server", "of another"])
def lending(chromium, standing, served, request):
    made = Tablets(chromium, served, stands=request.param)
    yield made
    made.close()


def test_a_page_comes_back_with_nothing_on_it(lending):
    first = lending.lend()
    heard = []
    first.page.on("console", lambda said: heard.append(said.text))
    first.page.route("**/sign-in", lambda route: route.abort())
    first.page.goto("/admit")
    first.page.evaluate(STORE)
    first.context.new_page()
    first.context.set_offline(True)
    lending.back(first)

    again = lending.lend()
    again.page.set_viewport_size({"width": 390, "height": 844})
    again.page.goto("/sign-in")
    again.page.evaluate("() => console.log('not heard')")

    assert again is first
    assert again.page.evaluate(LEFT) == [None, None, "", 0, True, 390]
    assert len(again.context.pages) == 1
    assert heard == []


@pytest.mark.parametrize(
    "spoil",
    [
        lambda lent: lent.page.clock.install(),
        lambda lent: lent.page.add_init_script("window.other = 1"),
        lambda lent: lent.context.add_init_script("window.other = 1"),
        lambda lent: lent.page.close(),
    ],
    ids=["clock", "script", "script of all its pages", "closed"],
)
def test_a_page_that_cannot_be_emptied_is_not_lent_again(lending, spoil):
    first = lending.lend()
    spoil(first)
    lending.back(first)

    assert lending.lend() is not first


def test_between_two_tests_nobody_is_answered(tmp_path):
    server = Standing(tmp_path)
    asking = Client(server)
    with server.before(Response("first"), tmp_path):
        inside = asking.get("/", buffered=True)
    after = asking.get("/", buffered=True)

    assert (inside.text, after.text, after.status_code) == ("first", "Between two tests.", 503)
