"""Outlines in the setup: by numbers, from an SVG, for which units; looked at before they are kept, retired and brought back."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

import pytest
from desk import Desk, fault_beside, said

from inspect_app.journal.verify import verify
from inspect_app.trade import outline
from sample_units.hands import new_id

sys.path.append(str(Path(__file__).parents[1] / "trade"))
from test_outline_hostile import CLEANED, REFUSED
from test_outline_read import SMALL

NUMBERS = {
    "name": "Short one", "length_mm": "5400", "wheelbase_mm": "3300", "width_mm": "2020", "height_mm": "2480",
    "roof": "mid", "body": "panel", "sliding_door": "left",
}  # fmt: skip
PAGE = "/setup/outlines/numbers"
BUILTIN = outline.builtin().hash


@pytest.fixture
def maud(client_as) -> Desk:
    return Desk(client_as("maud"))


def published(plant) -> int:
    sql = "SELECT count(*) FROM events WHERE type = 'outline_published'"
    return plant.journal.read().execute(sql).fetchone()[0]


def seen(page) -> str:
    return re.search(r'name="seen"[^>]*value="([^"]*)"', page.text)[1]


def kept(maud, **changed) -> str:
    """Look, keep, and return the hash."""
    numbers = {**NUMBERS, **changed}
    looked = maud.send(PAGE, **numbers, look="1")
    answer = maud.send(PAGE, **numbers, seen=seen(looked), keep="1")
    assert answer.status_code == 302, said(answer)
    return answer.location.rpartition("/")[2]


def bring(maud, text: str):
    data = {"file": (io.BytesIO(text.encode() if isinstance(text, str) else text), "own.svg")}
    answer = maud.send("/setup/outlines/drawing", **data)
    answer.close()  # its upload lies in a file of its own when it is large
    return answer


# ------------------------------------------------------------------ by numbers


def test_an_outline_is_looked_at_before_it_is_kept(plant, maud):
    before = published(plant)
    looked = maud.send(PAGE, **NUMBERS, look="1")

    assert looked.status_code == 200
    assert published(plant) == before
    assert looked.text.count("<figure") == 5
    assert "Short one" in said(looked)
    assert "right.running_board" in said(looked)  # it has none on the side without a sliding door

    answer = maud.send(PAGE, **NUMBERS, seen=seen(looked), keep="1")

    key = answer.location.rpartition("/")[2]
    assert published(plant) == before + 1
    assert plant.journal.outline(key).label == "Short one"
    assert "By numbers: 5400 mm long, 3300 from axle to axle" in maud.words(answer.location)


def test_what_was_not_looked_at_is_not_kept(plant, maud):
    looked = maud.send(PAGE, **NUMBERS, look="1")
    before = published(plant)

    answer = maud.send(PAGE, **{**NUMBERS, "length_mm": "5500"}, seen=seen(looked), keep="1")

    assert published(plant) == before
    assert "The numbers have changed since you looked" in said(answer)
    assert maud.send(PAGE, **{**NUMBERS, "length_mm": "5500"}, seen=seen(answer), keep="1").status_code == 302


def test_kept_twice_is_one_outline(plant, maud):
    before = published(plant)

    assert kept(maud) == kept(maud)

    assert published(plant) == before + 1


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("length_mm", "100", "'Length' is 100 mm; it must be from 4800 to 7500 mm."),
        ("length_mm", "five metres", "'Length' must be a whole number of mm"),
        ("length_mm", "", "'Length' must be a whole number of mm"),
        ("length_mm", "9" * 400, "'Length' must be a whole number of mm"),
        ("width_mm", "2020.5", "'Width' must be a whole number of mm"),
        ("height_mm", "3100", "'Height' is 3100 mm; with this roof it must be from 2300 to 2750 mm."),
        ("wheelbase_mm", "4000", "'Wheelbase' is 4000 mm, too long for a van of 5400 mm"),
        ("roof", "flat", "'Roof' is 'flat'; it must be one of low, mid, high."),
        ("name", "x" * 100, "'Name' may have 80 characters at most."),
        ("name", "short\x00one", "'Name' holds a character that cannot be written or printed"),
        ("name", "short\u200bone", "'Name' holds a character that cannot be written or printed"),
    ],
)
def test_a_number_that_makes_no_van_is_said_beside_its_field(maud, field, value, words):
    answer = maud.send(PAGE, **{**NUMBERS, field: value}, look="1")

    assert answer.status_code == 422
    assert words in fault_beside(answer, field)


def test_blanks_between_digits_do_no_harm(maud):
    assert maud.send(PAGE, **{**NUMBERS, "length_mm": " 5 400 "}, look="1").status_code == 200


# ------------------------------------------------------------------ an SVG of one's own


def test_an_svg_is_read_shown_and_kept_under_its_name(plant, maud):
    before = published(plant)
    draft = bring(maud, SMALL)
    shown = maud.get(draft.location)

    assert published(plant) == before
    assert 'd="M 0 0 H 400 V 400 H 0 Z"' in shown.text

    answer = maud.send(draft.location, name="Our box van", keep="1")

    key = answer.location.rpartition("/")[2]
    assert plant.journal.outline(key).label == "Our box van"
    assert plant.journal.outline(key).views == outline.load(SMALL).views
    assert published(plant) == before + 1


def test_a_draft_without_a_name_keeps_the_title_of_its_file(plant, maud):
    draft = bring(maud, SMALL)

    answer = maud.send(draft.location, name="", keep="1")

    assert plant.journal.outline(answer.location.rpartition("/")[2]).label == "Box van"


def test_every_fault_of_a_file_is_told_with_its_id(plant, maud):
    before = published(plant)
    broken = SMALL.replace('data-class="B"', 'data-class="E"').replace("M 400 0 V 400", "M 400 0 v 400")

    answer = bring(maud, broken)

    assert answer.status_code == 422
    assert "'left.panel' has the data-class 'E'; it must be one of A, B, C, D." in said(answer)
    assert "'left.joint.door_to_panel' uses 'v', which is relative; write it absolute." in said(answer)
    assert published(plant) == before


def test_of_a_file_full_of_faults_twenty_are_told_and_the_rest_counted(maud):
    zone = '<path id="left.a%d" data-part="a" data-label="a" data-class="E" data-laps="lamp"/>'

    answer = bring(
        maud, SMALL.replace('<g class="zones">', '<g class="zones">' + "".join(zone % i for i in range(30)), 1)
    )

    assert answer.text.count('class="wrong-word"') == 20
    assert "And 10 more." in said(answer)


@pytest.mark.parametrize("text", [b"\xff\xfe\x00<svg/>", b"\x89PNG\r\n\x1a\n", b"", "<svg/>"])
def test_what_is_no_outline_is_refused_in_a_sentence(plant, maud, text):
    before = published(plant)

    answer = bring(maud, text)

    assert answer.status_code == 422
    assert 'class="wrong-word"' in answer.text
    assert published(plant) == before


def test_no_file_at_all_is_said_beside_the_field(maud):
    assert "'SVG file' is missing" in fault_beside(maud.send("/setup/outlines/drawing"), "file")


@pytest.mark.parametrize(("old", "new"), REFUSED.values(), ids=REFUSED)
def test_nothing_of_a_hostile_file_is_kept_or_runs(plant, maud, old, new):
    before = published(plant)

    answer = bring(maud, SMALL.replace(old, new, 1))

    assert answer.status_code == 422
    assert published(plant) == before
    assert "<script>alert" not in answer.text
    assert "evil.invalid" not in re.sub(r'<span class="wrong-word">.*?</span>', "", answer.text)


@pytest.mark.parametrize(("old", "new"), CLEANED.values(), ids=CLEANED)
def test_nothing_hostile_of_a_file_that_is_taken_is_served(plant, maud, client_as, old, new):
    draft = bring(maud, SMALL.replace(old, new, 1))
    key = maud.send(draft.location, name="", keep="1").location.rpartition("/")[2]

    for path in (draft.location, f"/setup/outlines/{key}", f"/setup/outlines/{key}.svg", f"/outlines/{key}.json"):
        text = maud.get(path).text
        assert "<script src=" not in text or path.endswith(".json")
        assert "@import" not in text
        assert "javascript:" not in text
        if old != "Box van":
            assert "evil.invalid" not in text, path


def test_a_drawing_no_longer_held_is_a_sentence(maud):
    page = maud.get("/setup/outlines/drafts/none")

    assert (page.status_code, "read its file once more" in said(page)) == (404, True)


def test_the_file_that_is_handed_out_is_read_back_the_same(maud):
    key = kept(maud)

    file = maud.get(f"/setup/outlines/{key}.svg")

    assert file.headers["Content-Disposition"].startswith("attachment")
    assert outline.load(file.text).hash == key


# ------------------------------------------------------------------ for which units


def test_new_units_of_a_model_are_drawn_on_the_outline_chosen_for_it(plant, maud):
    key = kept(maud)
    maud.send(f"/setup/outlines/{key}/models", page=f"/setup/outlines/{key}", make="Brennach", model="Tourer 6")

    unit = plant.unit()

    assert plant.row("units", unit)["outline"] == key
    assert "new ones of Brennach Tourer 6" in maud.words("/setup/outlines")
    page = f"/setup/outlines/{key}"
    maud.send(f"{page}/models/off", page=page, make="Brennach", model="Tourer 6")
    assert plant.row("units", plant.unit("000009"))["outline"] == BUILTIN


def test_a_model_chosen_twice_is_one_event(plant, maud):
    page = f"/setup/outlines/{kept(maud)}"
    for _ in range(2):
        assert maud.send(f"{page}/models", page=page, make="Brennach", model="Tourer 6").status_code == 302

    sql = "SELECT count(*) FROM events WHERE type = 'outline_assigned'"
    assert plant.journal.read().execute(sql).fetchone()[0] == 1


def test_a_model_without_a_make_is_said_beside_the_field(maud):
    page = f"/setup/outlines/{kept(maud)}"

    answer = maud.send(f"{page}/models", page=page, make="", model="Tourer 6")

    assert answer.status_code == 422
    assert "'Make' is missing" in fault_beside(answer, "make")


def test_units_that_may_change_are_drawn_on_it_and_others_say_why_not(plant, maud):
    free, walked = plant.unit("000001"), plant.unit("000002")
    page = f"/setup/outlines/{kept(maud)}"
    assert "000001, Brennach Tourer 6" in maud.words(page)
    plant.ines.do(walked, "walk_started", {"walk": new_id(), "purpose": "first"})

    maud.send(f"{page}/units", page=page, units=[free, walked])

    assert plant.row("units", free)["outline"] == page.rpartition("/")[2]
    assert plant.row("units", walked)["outline"] == BUILTIN
    told = maud.words(page)
    assert "1 unit is drawn on it now." in told
    assert "A walk has begun on the unit's present outline" in told


def test_a_retired_outline_is_offered_no_longer_and_comes_back(plant, maud):
    page = f"/setup/outlines/{kept(maud)}"
    maud.send(f"{page}/models", page=page, make="Brennach", model="Tourer 6")
    for _ in range(2):
        maud.send(f"{page}/retired", page=page)

    assert "Retired 1" in maud.words("/setup/outlines")
    assert "Draw new ones on this" not in maud.get(page).text
    assert plant.row("units", plant.unit())["outline"] == BUILTIN
    sql = "SELECT count(*) FROM events WHERE type = 'outline_retired'"
    assert plant.journal.read().execute(sql).fetchone()[0] == 1

    maud.send(f"{page}/back", page=page)

    assert "Draw new ones on this" in maud.get(page).text


def test_ours_says_that_it_is_the_usual_one_and_cannot_be_retired(maud):
    told = maud.words(f"/setup/outlines/{BUILTIN}")

    assert "Every new unit is drawn on this" in told
    assert "Retire" not in told
    answer = maud.send(f"/setup/outlines/{BUILTIN}/retired", page="/sign-out")
    assert (answer.status_code, "it stays" in said(answer)) == (409, True)


def test_the_legend_calls_the_classes_as_the_catalogue_does(plant, maud):
    page = maud.words(f"/setup/outlines/{BUILTIN}")

    for key, row in plant.journal.catalogue().classes.items():
        assert f"{key}, {row.label}" in page


def test_an_unknown_outline_is_a_sentence_and_404(maud):
    for path in ("none", "none.svg"):
        page = maud.get(f"/setup/outlines/{path}")
        assert (page.status_code, "There is no such outline" in said(page)) == (404, True)


@pytest.mark.parametrize("path", ["numbers", "drawing", "{key}/models", "{key}/units", "{key}/retired", "{key}/back"])
def test_outlines_belong_to_managers(plant, maud, client_as, path):
    key = kept(maud)
    before = published(plant)

    answer = Desk(client_as("ines")).send(f"/setup/outlines/{path.format(key=key)}", page="/sign-out", **NUMBERS)

    assert answer.status_code == 403
    assert plant.journal.read().execute("SELECT count(*) FROM outlines_for").fetchone()[0] == 0
    assert published(plant) == before


def test_the_tables_follow_from_the_events(plant, maud):
    page = f"/setup/outlines/{kept(maud)}"
    maud.send(f"{page}/models", page=page, make="Brennach", model="Tourer 6")
    maud.send(f"{page}/retired", page=page)

    told = verify(plant.journal.folder.path)

    assert told.clean, told.sentence


def test_of_many_units_sixty_are_offered_the_next_follow_and_none_ticked_is_said(maud, plant):
    units = [plant.unit(str(700_000 + n)) for n in range(60)]
    key = kept(maud)
    assert "arrived last are offered" not in maud.get(f"/setup/outlines/{key}").text
    units += [plant.unit("700060")]
    page = maud.get(f"/setup/outlines/{key}")
    offered = re.findall(r'name="units"[^>]*value="([^"]+)"', page.text)
    assert len(offered) == 60
    assert "Of the others the 60 that arrived last are offered" in page.text
    answer = maud.send(f"/setup/outlines/{key}/units", page=f"/setup/outlines/{key}", units=offered)
    assert answer.status_code == 302
    page = maud.get(f"/setup/outlines/{key}")
    left = re.findall(r'name="units"[^>]*value="([^"]+)"', page.text)
    assert sorted([*offered, *left]) == sorted(units)
    assert "arrived last are offered" not in page.text
    maud.send(f"/setup/outlines/{key}/units", page=f"/setup/outlines/{key}")
    assert "No unit was ticked" in maud.get(f"/setup/outlines/{key}").text
