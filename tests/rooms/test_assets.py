"""Scripts and styles are kept for a year under the name of their edition, small; at the plain address they are to be read."""

from __future__ import annotations

import gzip
import hashlib
import re
from pathlib import Path
from typing import Any

import pytest

from inspect_app import create_app
from inspect_app.rooms import edition
from inspect_app.rooms.assets import everything
from inspect_app.rooms.smaller import style

PACKAGE = Path(__file__).parents[2] / "inspect_app"
ZIP = {"Accept-Encoding": "gzip"}
# Icons have one address for good, since a home screen keeps it.
FILES = re.compile(r'(?:src|href|data-pictograms)="(/(?!client/icons/)(?:e|client|rooms)/[^"#]+)')
PAGES = ("/", "/rework", "/again", "/sign-off", "/rates", "/setup", "/units", "/sign-out")


def files_of(client: Any, path: str) -> set[str]:
    """Addresses of scripts, styles and pictures that a page names."""
    found = set(FILES.findall(client.get(path).text))
    assert found, path
    return found


def test_a_page_names_files_of_one_edition_that_may_be_kept_for_a_year(client_as):
    client = client_as("maud")
    for path in PAGES:
        for address in files_of(client, path):
            answer = client.get(address, headers=ZIP)
            assert address.startswith(f"/e/{edition.name()}/")
            assert (answer.status_code, answer.headers["Cache-Control"]) == (200, "max-age=31536000, immutable")


def test_compressed_and_plain_answers_hold_the_same(client_as):
    client = client_as("ines")
    address = next(one for one in files_of(client, "/") if one.endswith("all.css"))
    small, plain = client.get(address, headers=ZIP), client.get(address)

    assert (small.headers["Content-Encoding"], small.headers["Vary"]) == ("gzip", "Accept-Encoding")
    assert "Content-Encoding" not in plain.headers
    assert gzip.decompress(small.data) == plain.data
    assert plain.headers["Vary"] == "Accept-Encoding"


def test_at_the_plain_address_a_file_is_what_lies_in_the_folder(client_as):
    for place in ("client/outbox.js", "rooms/walk/walk.css", "client/css/tokens.css"):
        answer = client_as("ines").get(f"/{place}")
        assert answer.data == (PACKAGE / place).read_bytes()
        assert answer.headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize("named", [edition.name, lambda: "0" * 16], ids=["this edition", "another"])
@pytest.mark.parametrize(
    "path",
    [
        "client/gone.js",
        "rooms/walk/routes.py",
        "client/../rooms/__init__.py",
        "client/css/tokens.css",
        "rooms/no-room/a.js",
    ],
)
def test_a_file_that_is_not_in_the_edition_is_not_found_and_that_is_not_kept(client_as, named, path):
    answer = client_as("ines").get(f"/e/{named()}/{path}")

    assert (answer.status_code, answer.headers["Cache-Control"]) == (404, "no-store")


def test_another_edition_is_not_answered_from_this_one(client_as):
    assert client_as("ines").get(f"/e/{edition.name()}/client/outbox.js").status_code == 200
    assert client_as("ines").get(f"/e/{'0' * 16}/client/outbox.js").status_code == 404


def test_everything_names_what_any_page_asks_for_and_no_module_that_is_joined(app, client_as):
    with app.test_request_context():
        all_of_it = everything()
    asked = {address for path in PAGES for address in files_of(client_as("maud"), path)}

    assert asked <= set(all_of_it)
    assert f"/e/{edition.name()}/client/all.js" in all_of_it
    assert not [address for address in all_of_it if address.endswith(("outbox.js", "tokens.css"))]
    assert all(client_as("maud").get(address).status_code == 200 for address in all_of_it)


def test_the_edition_is_named_by_what_is_sent():
    told = hashlib.sha256()
    for place in sorted(edition.assets()):
        asset = edition.assets()[place]
        told.update(f"{place} {len(asset.content)}\n".encode() + asset.content)

    assert edition.name() == told.hexdigest()[:16]


def test_the_joined_style_holds_every_file_in_its_order():
    sent = edition.assets()["client/css/all.css"].content.decode()
    starts = [style((PACKAGE / place).read_text("utf-8"))[:60] for place in edition.WORN]

    assert sent.startswith(starts[0])
    assert [sent.index(start) for start in starts] == sorted(sent.index(start) for start in starts)
    on_disk = {path.relative_to(PACKAGE).as_posix() for path in (PACKAGE / "client").rglob("*.css")}
    assert on_disk <= set(edition.WORN)


def test_a_script_that_cannot_be_read_is_sent_as_it_is(caplog):
    broken = b"const a = ;  // not JavaScript"

    assert edition._asset("client/odd.js", broken).content == broken
    assert "client/odd.js is sent as it is" in caplog.text


def test_whoever_wants_to_read_in_the_browser_gets_plain_addresses(tmp_path, monkeypatch):
    monkeypatch.setenv("LAMPWALK_PLAIN", "1")
    app = create_app(tmp_path / "data")
    client = app.test_client()
    addresses = FILES.findall(client.get("/first").text)

    assert "/client/css/tokens.css" in addresses
    assert "/client/theme.js" in addresses
    assert all(client.get(address).status_code == 200 for address in addresses)
    app.extensions["lampwalk"].close()


NAMES = """async (places) => Promise.all(places.map(async ([plain, sent]) => {
  const [one, other] = [await import(plain), await import(sent)];
  const kinds = (module) => Object.keys(module).sort().map((name) => `${name} ${typeof module[name]}`);
  return [kinds(one), kinds(other)];
}))"""


@pytest.mark.browser
def test_every_module_exports_in_its_edition_what_it_exports_in_its_folder(page_as):
    inside = sorted(p for p in edition.assets() if p.endswith(".js") and p not in edition.wanted())
    page = page_as("maud", "/")

    found = page.evaluate(NAMES, [(f"/{place}", f"/e/{edition.name()}/{place}") for place in inside])

    assert len(inside) > 60
    assert [plain for plain, _ in found] == [sent for _, sent in found]
    assert sum(len(sent) for _, sent in found) > 150


@pytest.mark.browser
def test_a_module_asked_for_by_its_own_address_is_the_one_that_the_page_runs(page_as):
    page = page_as("ines", "/")
    start = f"/e/{edition.name()}/client"

    same = page.evaluate(
        "async (start) => (await import(`${start}/all.js`)).need('client/bus.js').emit === (await import(`${start}/bus.js`)).emit",
        start,
    )

    assert same


# Told at the first moment at which there is something to paint: the body's beginning.
FIRST = """new MutationObserver(() => {
  const { theme, type } = document.documentElement.dataset;
  if (document.body) window.first ??= [theme, type ?? ""];
}).observe(document, { childList: true, subtree: true });"""


@pytest.mark.browser
@pytest.mark.parametrize(("theme", "large"), [("day", "large"), ("lamp", "")])
def test_a_page_that_is_kept_for_anybody_has_this_tablets_theme_and_type_before_it_is_painted(page_as, theme, large):
    page = page_as("ines", "/", theme=theme)
    page.context.add_cookies([{"name": "type", "value": large, "url": page.url}] if large else [])
    page.context.add_init_script(FIRST)
    page.goto("/shell/floor")

    assert page.evaluate("() => window.first") == [theme, large]
    assert page.locator("html[data-shell]").count() == 1
