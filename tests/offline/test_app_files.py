"""The app's description, its worker and its pages, as the server hands them out."""

from __future__ import annotations

import io
import json
import re

import pytest
from PIL import Image

from inspect_app.rooms.edition import folder
from inspect_app.rooms.offline.shells import PAGES
from sample_units.icons import MADE, icon


def test_the_description_has_what_a_home_screen_asks_for(app):
    # Members and the maskable purpose: W3C Web Application Manifest; 192 and 512 px are what Chromium asks for (from memory).
    client = app.test_client()
    answer = client.get("/manifest.webmanifest")
    told = json.loads(answer.data)

    assert answer.mimetype == "application/manifest+json"
    assert (told["start_url"], told["scope"], told["display"]) == ("/", "/", "standalone")
    sizes = {(one["purpose"], one["sizes"]) for one in told["icons"]}
    assert sizes == {(purpose, size) for purpose in ("any", "maskable") for size in ("192x192", "512x512")}
    for one in told["icons"]:
        picture = Image.open(io.BytesIO(client.get(one["src"]).data))
        assert f"{picture.width}x{picture.height}" == one["sizes"]


@pytest.mark.parametrize("name", [name for name, whole in MADE.items() if whole])
def test_a_launcher_that_cuts_an_icon_to_a_circle_cuts_nothing_off_the_ring(name):
    # The safe zone of a maskable icon is a circle of two fifths of its width around the middle (W3C Web App Manifest).
    size = int(name.partition("-")[2])
    made = icon(size, whole=True).convert("RGB")
    wax = [(x, y) for x in range(size) for y in range(size) if made.getpixel((x, y))[0] > 128]

    assert max((x + 0.5 - size / 2) ** 2 + (y + 0.5 - size / 2) ** 2 for x, y in wax) ** 0.5 <= 0.4 * size
    assert len(wax) > 0.05 * size * size


def test_the_worker_is_asked_for_anew_each_time_and_names_files_that_are_there(app):
    client = app.test_client()
    answer = client.get("/sw.js")
    kept = json.loads(re.match(r"const KEPT = (.*);\n", answer.text)[1])

    assert (answer.mimetype, answer.headers["Cache-Control"]) == ("text/javascript", "no-cache")
    addresses = [*kept["assets"], *kept["shells"].values()]
    assert len(addresses) > 20
    assert {client.get(address).status_code for address in addresses} == {200}


@pytest.mark.parametrize("page", ["floor", "walk", "rework", "again"])
def test_a_kept_page_is_the_same_for_whoever_asks_and_names_nobody(client_as, app, plant, page):
    mine = client_as("maud").get(f"/shell/{page}")

    assert mine.data == app.test_client().get(f"/shell/{page}").data
    assert "Set-Cookie" not in mine.headers
    assert "Maud" not in mine.text
    assert "csrf" not in mine.text


def test_each_page_names_the_version_that_the_worker_keeps(client_as, app):
    kept = json.loads(re.match(r"const KEPT = (.*);\n", app.test_client().get("/sw.js").text)[1])

    assert client_as("ines").get("/").headers["X-Lampwalk-Version"] == kept["version"]


def test_pages_are_said_to_open_without_the_server_where_the_worker_has_a_shell_of_them():
    said = re.search(r"const KEPT = /(.+)/;", (folder("client") / "kept_words.js").read_text("utf-8"))
    assert said
    opens = re.compile(said[1].replace("\\/", "/"))
    paths = {"floor": "/", "walk": "/walk/a", "rework": "/rework/a", "again": "/again/a"}
    assert paths.keys() == PAGES.keys()
    assert [path for path in (*paths.values(), "/rework") if not opens.search(path)] == []
    assert [path for path in ("/parts", "/walk", "/again", "/units/a", "/sign-off/a") if opens.search(path)] == []
