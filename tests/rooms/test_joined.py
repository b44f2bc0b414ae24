"""Modules joined into one file do what they did apart, and a form that would not is refused by name."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from inspect_app.rooms.edition import CLASSIC
from inspect_app.rooms.joined import Unjoinable, joined

PACKAGE = Path(__file__).parents[2] / "inspect_app"

SAMPLE = {
    "client/log.js": "export const log = [];\nlog.push('log');\nexport class Note { say = 'noted'; }\n",
    "client/both.js": 'import { Note as Paper, log } from "./log.js";\nlog.push("both");\n'
    "export function note() { return new Paper().say; }\nexport async function later() { return note(); }\n",
    "client/again.js": 'import { note } from "./both.js";\nexport {\n  note,\n};\n',
    "client/lazy.js": 'import { log } from "./log.js";\nlog.push("never asked for");\n',
    "client/desk/form.js": 'import { log } from "../log.js";\nlog.push("form");\nexport const form = "waits";\n',
    "rooms/walk/side.js": 'import { log } from "../../client/log.js";\nlog.push("side");\n',
    "rooms/walk/mount.js": 'import "./side.js";\nimport * as again from "../../client/again.js";\n'
    'import { form } from "../../client/desk/form.js";\n'
    'import { log } from "../../client/log.js";\nlog.push(`mount ${again.note()}`);\nexport const at = typeof this;\n',
}
ASK = """async () => {
  const mount = await import('/rooms/walk/mount.js');
  const { log, Note } = await import('/client/log.js');
  const { later, note } = await import('/client/both.js');
  const again = await import('/client/again.js');
  const { form } = await import('/client/desk/form.js');
  return { form, log: [...log], at: mount.at, later: await later(), same: again.note === note, note: new Note().say };
}"""


def told_by(chromium: Any, files: Mapping[str, str]) -> dict[str, Any]:
    """What the sample says when a browser is given these files."""
    page = chromium.new_page()

    def answer(route: Any) -> None:
        place = route.request.url.removeprefix("http://127.0.0.1:9/")
        route.fulfill(body=files.get(place, ""), content_type="text/javascript" if place in files else "text/html")

    page.route("http://127.0.0.1:9/**", answer)
    page.goto("http://127.0.0.1:9/")
    told: dict[str, Any] = page.evaluate(ASK)
    page.close()
    return told


@pytest.mark.browser
def test_joined_modules_say_what_they_said_apart_and_run_once_in_the_same_order(chromium: Any) -> None:
    apart, together = told_by(chromium, SAMPLE), told_by(chromium, joined(SAMPLE))

    assert together == apart
    assert together == {
        "form": "waits", "log": ["log", "side", "both", "form", "mount noted"], "at": "undefined", "later": "noted",
        "same": True, "note": "noted",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("export default 3;\n", "client/odd.js says 'export default 3;'"),
        ("export let count = 0;\n", "client/odd.js says 'export let count = 0;'"),
        ('export { a as b } from "./log.js";\n', "client/odd.js says 'export { a as b }"),
        ('import log from "./log.js";\n', "client/odd.js says 'import log"),
        ('const { log } = await import("./log.js");\n', "client/odd.js says 'await import('"),
        ("const here = import.meta.url;\n", "client/odd.js says 'import.meta'"),
        ('import { log } from "./gone.js";\n', "client/odd.js imports client/gone.js, which is not there"),
        ('import { form } from "./desk/form.js";\n', "imports client/desk/form.js, which some pages do not have"),
        ('import { at } from "../rooms/walk/mount.js";\n', "client/odd.js imports rooms/walk/mount.js of another room"),
        (
            'import { a } from "./odd.js";\nexport const a = 1;\n',
            "client/odd.js imports itself by way of client/odd.js",
        ),
    ],
)
def test_a_form_that_cannot_be_joined_is_refused_by_name(text: str, says: str) -> None:
    with pytest.raises(Unjoinable) as refused:
        joined({**SAMPLE, "client/odd.js": text})

    assert says in str(refused.value)


def test_a_module_may_not_have_the_name_of_the_joined_file() -> None:
    with pytest.raises(Unjoinable, match=r"rooms/walk/all\.js has the name of the joined file"):
        joined({**SAMPLE, "rooms/walk/all.js": "\n"})


def test_every_module_of_ours_can_be_joined() -> None:
    scripts = {path.relative_to(PACKAGE).as_posix(): path.read_text("utf-8") for path in PACKAGE.rglob("*.js")}
    for place in CLASSIC:
        del scripts[place]

    files = joined(scripts)

    assert len(scripts) > 80
    own = {"client/all.js", "client/desk/all.js", *(f"rooms/{room}/all.js" for room in rooms_of(scripts))}
    assert set(files) - set(scripts) == own
    for place in scripts:
        shared = place.startswith("client/") and not place.startswith("client/desk/")
        assert (f'"{place}": () => {{' in files["client/all.js"]) == shared


def rooms_of(places: Mapping[str, str]) -> set[str]:
    return {place.split("/")[1] for place in places if place.startswith("rooms/")}
