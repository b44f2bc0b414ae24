"""Section 6 of docs/tutorial.md, "More than one polish", followed on the demo: each figure and label is taken from the text and
held against what the application says. A figure or a label that nothing here has read is a fault as well."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from inspect_app.rooms.house import House
from inspect_app.sheet import make
from inspect_app.trade import part_stages as stages
from inspect_app.trade.budget import Place, Removal, clear_left
from inspect_app.trade.selectors import Facts, open_methods
from sample_units.hands import Hands, admit
from tests.rooms.desk import Desk, said

MINUTE = 60_000
SPAN = {"half an hour": 30 * MINUTE, "a day": 24 * 60 * MINUTE}
MANY = {"two": 2, "five": 5}
BREADTH = {"a hand's breadth": 100}  # mm
GARNET, FJORD, SAND = ("090551", "Garnet"), ("047312", "Fjord grey"), ("155092", "Sand")
MOULDING, DOOR, RACK = "moulding_cab_door_left", "cab_door_left", "Rack 4, hook 1"
LABEL = re.compile(r"\*+([^*]+)\*+")
WHY = "The customer wants it so."

As = Callable[[str], Desk]


class Paragraph:
    """One paragraph of the section: what was read of it, and what nobody has read."""

    def __init__(self, section: str, head: str):
        found = re.search(rf"\*\*{head}\.\*\*(.*?)(?:\n\n|$)", section, re.S)
        assert found, f"the section has no paragraph '{head}'"
        self.text, self.read = " ".join(found[1].split()), list[tuple[int, int]]()

    def says(self, words: str) -> tuple[str, ...]:
        """What stands at the groups of `words`; that it says so at all is asserted."""
        found = re.search(words, self.text)
        assert found, f"the tutorial no longer says '{words}': {self.text}"
        self.read.append(found.span())
        return found.groups()

    def unread(self) -> list[str]:
        """Figures and labels that were never held against the application."""
        found = [*re.finditer(r"\d+(?:\.\d+)?", self.text), *LABEL.finditer(self.text)]
        return [one[0] for one in found if not any(a <= one.start() and one.end() <= z for a, z in self.read)]


class Plant:
    """The demo: its vans and people by what the tutorial calls them."""

    def __init__(self, house: House):
        self.house, self.journal = house, house.journal

    def value(self, sql: str, *told: object) -> Any:
        """The first value of the first row."""
        return self.journal.read().execute(sql, told).fetchone()[0]

    def van(self, told: tuple[str, str]) -> str:
        """A van by its last six and its colour."""
        return str(self.value("SELECT id FROM units WHERE last_six = ? AND colour = ?", *told))

    def hands(self, who: str) -> Hands:
        """Somebody at a tablet of their own."""
        sql = "SELECT id, roles, departments FROM people WHERE name LIKE ?"
        row = self.journal.read().execute(sql, (f"{who}%",)).fetchone()
        return Hands(
            self.journal, row["id"], admit(self.journal), json.loads(row["roles"]), json.loads(row["departments"])
        )

    def job(self, van: str, method: str, part: str) -> dict[str, Any]:
        """The job of a part that nobody has begun."""
        sql = "SELECT * FROM jobs WHERE unit = ? AND method = ? AND part = ? AND state = 'ready'"
        return dict(self.journal.read().execute(sql, (van, method, part)).fetchone())


def a_part_that_leaves(text: Paragraph, plant: Plant, as_: As) -> None:
    """Off the van, its label, its clips, another van's label, and what waits for what."""
    per, van = as_("Per"), plant.van(SAND)
    parts, press, on_the_rack = (
        f"/units/{van}/parts",
        *text.says(r"press \*\*([^*]+)\*\*, and it hangs on the rack as \*([^*]+)\*"),
    )
    assert f'href="{parts}">{text.says(r"its card, [*][*]([^*]+)[*][*], tick")[0]}<' in per.get(f"/units/{van}").text
    assert f'value="{press}"' in per.get(parts).text
    per.send(parts, page=parts, parts=[MOULDING], material="", place=RACK)
    assert f"Left moulding cab door {on_the_rack} next: washed {RACK}".casefold() in per.words("/parts").casefold()
    text.says(r"Print its label\.")
    assert per.get(f"{parts}/labels.pdf").data.startswith(b"%PDF")

    part = plant.value("SELECT id FROM parts WHERE unit = ?", van)
    page = f"/parts/{part}"
    out, broken, replaced, cost = text.says(r"(\d+) off, (\d+) broken, (\d+) new cost ([\d.]+)\.")
    per.send(f"{page}/clips", page=page, out=out, broken=broken, replaced=replaced)
    assert f"New clips of this part: {cost}." in per.words(page)

    text.says(r"The next stage is named there; type the last six of the label to go on\.")
    assert "Next: washed" in per.words(page)
    text.says(r"another van: the page stops in large letters that name both, and notes nothing but the mix-up")
    stopped = per.send(f"{page}/stage", page=page, since="off", six=GARNET[0])
    large = re.search(r'<section class="stop" role="alert">(.*?)</section>', stopped.text, re.S)
    both = "".join(said_of(large[1]).split())
    assert GARNET[0] in both
    assert SAND[0] in both
    assert plant.value("SELECT stage FROM parts WHERE id = ?", part) == "off"
    assert plant.value("SELECT count(*) FROM mixups WHERE unit = ?", van) == 1
    _waits(text, plant, per, part)


def _waits(text: Paragraph, plant: Plant, per: Desk, part: str) -> None:
    """Flame, primer, coat and refit, each as early as it may be and not before."""
    page, journal, book = f"/parts/{part}", plant.journal, plant.journal.catalogue().rule_book.part_stages
    primer, coat = text.says(
        r"wants its flame before its primer, its primer ([\w ]+) before its coat, and its coat ([\w ]+) before it goes back"
    )
    order = book.materials[plant.value("SELECT material FROM parts WHERE id = ?", part)].stages
    assert order.index("flamed") < order.index("primed") < order.index("painted") < order.index("refitted")
    since = "off"
    for stage in order[1 : order.index("painted")]:
        assert per.send(f"{page}/stage", page=page, since=since, six=SAND[0], stage=stage).status_code == 302
        since = stage
    coats = {"page": page, "six": SAND[0], "booth": "Booth 1", "mix": "S-1"}
    _held(text, per, page, "the primer flashes off")
    at = plant.value("SELECT json_extract(done, '$.primed') FROM parts WHERE id = ?", part)
    now, journal.clock = journal.clock, lambda: at + SPAN[primer] - 1
    assert per.send(f"{page}/stage", since=since, stage="painted", **coats).status_code == 409
    journal.clock = lambda: at + SPAN[primer]
    assert per.send(f"{page}/stage", since=since, stage="painted", **coats).status_code == 302
    _held(text, per, page, "it bakes and cools")
    done = json.loads(plant.value("SELECT done FROM parts WHERE id = ?", part))
    assert stages.free_at(book, done, "refitted") - done["painted"] == SPAN[coat]
    journal.clock = now


def _held(text: Paragraph, per: Desk, page: str, why: str) -> None:
    text.says(r"until then its button cannot be pressed, and a sentence says what it waits for and until when")
    shown = per.get(page)
    assert re.search(r'<button class="btn btn-main btn-large" disabled>', shown.text)
    assert re.search(rf"{why}; free \w+", said(shown), re.I)


def a_reading(text: Paragraph, plant: Plant, as_: As) -> None:
    """Two readings of a door by the magnetic gauge, and one of a moulding."""
    ines, van = as_("Ines"), plant.van(SAND)
    card, readings, film = text.says(
        r"its \*\*([^*]+)\*\*\), \*\*([^*]+)\*\*, choose \*([^*]+)\* and a part of body metal"
    )
    assert re.search(rf"<a data-card [^>]*>{card}<", ines.get(f"/walk/{van}").text)
    assert f'href="/units/{van}/readings">{readings}<' in ines.get(f"/units/{van}").text
    assert film.capitalize() in ines.words(f"/units/{van}/readings")
    gauge, thick, *thin = text.says(
        r"pick the (\w+) gauge and type (\d+)\. It is judged at once: (under \d+ µm, thin)\."
    )
    less, *cut = text.says(
        r"Read it again with (\d+): (under \d+ µm,?) nothing is cut, and the page says what that does to the spots there"
    )
    assert f"{gauge} gauge" in ines.words(f"/units/{van}/readings/film")
    assert thin[0] in _film(ines, van, DOOR, gauge, thick)
    judged = _film(ines, van, DOOR, gauge, less)
    assert f"{cut[0].rstrip(',')}, nothing is cut here." in judged
    assert re.search(rf"A2: .*The whole film is {less} µm", judged)
    marks = plant.value("SELECT count(*) FROM markers WHERE unit = ?", van)
    text.says(r"No marker is opened by itself; the page offers one\.")
    assert "Open the marker Nothing is opened by itself." in judged
    assert plant.value("SELECT count(*) FROM markers WHERE unit = ?", van) == marks
    text.says(r"Choose a moulding with the same gauge, and it says that this gauge does not read there\.")
    assert f"The {gauge} gauge does not read on this part" in _film(ines, van, MOULDING, gauge, thick)


def _film(ines: Desk, van: str, part: str, gauge: str, film: str) -> str:
    page = f"/units/{van}/readings/film"
    answer = ines.send(page, part=part, where="body", method=gauge, film=film, for_marker="")
    return said(answer if answer.location is None else ines.get(answer.location))


def a_plan(text: Paragraph, plant: Plant, as_: As) -> None:
    """The wing with its nibs, another choice with its reason, and the jobs that the plan replaces."""
    per, van = as_("Per"), plant.van(FJORD)
    rework, plans, colour, six = text.says(
        r"In \*\*([^*]+)\*\* open \*\*([^*]+)\*\* from the menu, and the ([A-Z]\w+ \w+) (\d{3} \d{3})"
    )
    assert (six.replace(" ", ""), colour) == FJORD
    assert f"{rework} · Lampwalk" in per.words("/rework")
    assert f'href="/plans">{plans}<' in per.get("/rework").text
    assert f"{six} Brennach Tourer 6 {colour}" in per.words("/plans")
    page = f"/units/{van}/plan"
    shown = per.get(page).text
    lines = dict(re.findall(r'id="part-(\w+)">(.*?)</fieldset>', shown, re.S))
    many, near = text.says(r"The wing with (\w+) nibs within (a hand's breadth) is refinished whole")
    assert f"Dirt nib: {MANY[many]} within {BREADTH[near]} mm" in lines["wing_left"]
    assert 'value="refinish" checked' in lines["wing_left"]
    text.says(r"beside each part stands what its other choice would cost")
    barred = re.compile(r"would be .* more|would not put|cannot be mended|not mended one by one")
    assert len(lines) > 15
    assert [part for part, line in lines.items() if not barred.search(said_of(line))] == []

    text.says(r"Whoever chooses otherwise for a part gives a reason: it is kept, stands at the job, and on the sheet")
    (heading,) = text.says(r'under "([^"]+)"')
    assert f'"{heading}, with the reason"' in Path(make.__file__).read_text("utf-8")
    (accept,) = text.says(r"\*\*([^*]+)\*\* puts its jobs in place of those nobody has begun")
    assert f">{accept}<" in shown
    old = plant.job(van, "denib_polish", "wing_left")["id"]
    again = per.client.post(page, data=_filled(shown) | {"way-front_cap": "refinish", "do": "accept"})  # made anew
    filled = _filled(again.text) | {"do": "accept"}
    assert per.client.post(page, data=filled).status_code == 422
    assert per.client.post(page, data={**filled, "why-front_cap": WHY}).status_code == 302
    assert plant.value("SELECT state FROM jobs WHERE id = ?", old) not in ("ready", "taken")
    assert plant.job(van, "blend_neighbour", "wing_left")["id"] != old  # refinished whole: a metallic is blended out
    assert plant.job(van, "strip_refinish", "front_cap")["otherwise"] == WHY


def _filled(page: str) -> dict[str, str]:
    told = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    return told | dict(re.findall(r'<input type="radio" name="([^"]+)" value="([^"]+)" checked', page))


def said_of(piece: str) -> str:
    """A piece of a page, as read aloud."""
    return html.unescape(" ".join(re.sub(r"<[^>]+>", " ", piece).split()))


def a_barred_polish(text: Paragraph, plant: Plant, page: Any) -> None:
    """By touch, on the bench of Per: a scratch that goes down to the base; what bars a nib and a spent budget by the rules in force."""
    (summary,) = text.says(r"unfold \*([^*]+)\*, and say of its spot that it goes down to the base")
    scratch, nib = text.says(
        r"struck through with its reason: a scratch (goes through the clear), a nib (lies below it and polishing opens it)\."
    )
    page.locator(".job-line", has_text="Right wing").filter(has_text="551").first.tap()
    page.locator(".ways-ask summary", has_text=summary).tap()
    page.locator("[data-fact=depth][data-value=base]").tap()
    polish = page.locator(".ways li[data-method=machine_polish]")
    polish.locator("s").wait_for()
    assert scratch in polish.inner_text()
    text.says(r"The mildest open way stands below\.")
    below = page.locator(".ways li[data-method=machine_polish] ~ li:not(:has(s))").first
    assert below.locator("button").count() == 1
    text.says(r"Whoever must polish all the same gives a reason, and that, too, stands on the sheet\.")
    polish.locator("button").tap()
    page.locator("dialog .dialog-foot button").tap()
    assert "Say why" in page.locator("dialog .fault").inner_text()
    page.get_by_role("button", name="A manager agreed").tap()
    page.locator(
        ".ways li[data-method=machine_polish]", has_text="Done all the same, Per Halvorsen: A manager agreed."
    ).wait_for()

    found = open_methods(
        plant.journal.catalogue(), Facts(kind="nib", material="metal", surface_class="A", depth="base")
    )
    assert found.barred["denib_polish"] == (nib.replace("it and", "the clear:").replace("lies", "it lies"),)
    (many,) = text.says(r"After (\w+) polishes of one spot the budget of clear does the same without being asked\.")
    here = Place(view="left", x=5000, y=5000)
    spent = [
        clear_left(here, [Removal(film=40, place=here)] * n, surface_class="A", paint="maker", takes=40).bars
        for n in range(4)
    ]
    assert [bool(bars) for bars in spent].index(True) == MANY[many]


def a_water_test(text: Paragraph, plant: Plant, as_: As) -> None:
    """Water came in, then dry; then work on a seal, which asks for a third test."""
    ines, van = as_("Ines"), plant.van(FJORD)
    (sign_off,) = text.says(
        r"In \*\*([^*]+)\*\*, at a van that is not signed, the gate of water asks for how, how long, the flow or the pressure, and the result"
    )
    assert f'href="/sign-off">{sign_off}<' in ines.get("/units").text
    for asked in ("How it was tested", "Minutes of water", "Flow of a nozzle", "Pressure", "one of the two", "Result"):
        assert asked in _water(ines, van)
    wet, dry = text.says(r"Choose \*([^*]+)\*, and write where: .*? test again and write \*([^*]+)\*")
    page = ines.get(f"/sign-off/{van}").text
    results = {label: key for key, label in re.findall(r'<option value="(\w+)">([^<]+)', page)}
    shower = {"method": "shower", "minutes": "10", "flow": "14,5"}
    _test(ines, van, {**shower, "result": results[wet], "where": "left rear lamp"})
    text.says(r"the gate stays blocked, says why, and leads to where the spot is marked\.")
    told = _water(ines, van)
    assert "Water blocked" in told
    assert f"It did not hold: shower, 10 min, 14.5 L/min, {wet}, left rear lamp" in told
    assert "Mark on the van what was found" in told
    _test(ines, van, {**shower, "result": next(key for label, key in results.items() if label.startswith(dry))})
    told = _water(ines, van)
    assert "Water holds" in told
    text.says(r"both tests stand on the sheet\.")
    kept = "SELECT count(*) FROM gate_checks WHERE unit = ? AND gate = 'water'"
    assert plant.value(kept, van) == 2
    text.says(r"Work on a seal after that asks for a third\.")
    plant.hands("Sanjay").work(van, plant.job(van, "reseal", "rear_door_left"))
    assert "Water blocked" in _water(ines, van)


def _water(ines: Desk, van: str) -> str:
    page = ines.get(f"/sign-off/{van}").text
    return said_of(page[page.index('id="gate-water"') - 20 :].partition('id="gate-release"')[0])


def _test(ines: Desk, van: str, values: dict[str, str]) -> None:
    answer = ines.client.post(f"/sign-off/{van}/gates/water", json={"values": values}, headers={"X-Lampwalk": "1"})
    assert answer.status_code == 200, answer.text
