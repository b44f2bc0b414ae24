"""The whole sheet, read back by programs that did not write it."""

import hashlib
import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from inspect_app.sheet.data import Photo, SheetError
from inspect_app.sheet.make import make_sheet
from inspect_app.trade.outline import builtin
from tests.pdf_text import images, pages

from .samples import NAMES, marker, sheet, typical, unit

MM = 72 / 25.4


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        ("a4", (210 * MM, 297 * MM)),  # ISO 216
        ("letter", (8.5 * 72, 11 * 72)),  # ANSI/ASME Y14.1, size A
    ],
)
def test_every_page_has_the_size_of_its_paper(read, paper, size):
    made = read(make_sheet(typical_without_photos(), paper=paper)).pages

    assert len(made) > 2
    for page in made:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=0.1)


def typical_without_photos():
    return sheet(tuple(marker(number) for number in range(25)))


def test_names_in_many_scripts_are_written_and_can_be_found_again(words):
    names = [*NAMES, "½ mm", "Győző Őry", "Αθήνα", "Đặng Văn Ngữ"]
    alone = (marker(n, made_by=name, state="open", worked=()) for n, name in enumerate(names))
    told = words(make_sheet(sheet(tuple(alone), walks=(), looks=(), signatures=())))

    assert [name for name in names if name not in told] == []


def test_a_name_with_loose_accents_is_written_with_whole_letters(words):
    loose = "Nguye\u0302\u0303n"  # e, circumflex, tilde, as some keyboards send it

    assert "Nguyễn" in words(make_sheet(sheet((marker(0, made_by=loose),))))


def test_poppler_finds_every_font_embedded(tmp_path):
    (tmp_path / "sheet.pdf").write_bytes(make_sheet(typical(tmp_path, 6, 2)))

    listed = subprocess.run(["pdffonts", tmp_path / "sheet.pdf"], capture_output=True, check=True, text=True).stdout
    rows = listed.splitlines()[2:]
    assert len(rows) == 2
    assert all(re.search(r" yes yes yes +\d+ +0$", row) for row in rows), listed  # embedded, subset, with Unicode


def test_each_page_says_which_of_how_many_it_is():
    data = typical_without_photos()
    told = pages(make_sheet(data))

    for number, text in enumerate(told, start=1):
        assert f"page {number} of {len(told)} · head {data.head[:10]}" in text
        assert "047 312 · revision A" in text


def test_the_file_says_what_it_is_and_when_it_was_signed(read):
    data = sheet(())
    about = read(make_sheet(data)).metadata

    assert about.title == "Inspection sheet 047312 revision A"
    assert about.author == data.unit.plant
    assert about.creation_date.timestamp() * 1000 == data.signatures[0].at


def test_the_same_data_gives_the_same_bytes_also_in_another_process(tmp_path):
    script = (
        "import hashlib; from inspect_app.sheet.make import make_sheet; from sheet.samples import marker, sheet;"
        "print(hashlib.sha256(make_sheet(sheet(tuple(marker(n) for n in range(12))))).hexdigest())"
    )
    here = os.path.dirname(os.path.dirname(__file__))
    run = [
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join([os.path.dirname(here), here])},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("1", "2")
    ]
    own = hashlib.sha256(make_sheet(sheet(tuple(marker(n) for n in range(12))))).hexdigest()
    assert run == [own, own]


def test_the_bytes_do_not_depend_on_where_the_photos_lie(tmp_path):
    for folder in ("one", "two"):
        (tmp_path / folder).mkdir()
    one, two = (make_sheet(typical(tmp_path / folder, 3, 2)) for folder in ("one", "two"))

    assert one == two


def test_a_unit_without_a_marker_has_a_sheet_that_says_so(words):
    text = words(make_sheet(sheet((), signatures=(), walks=(), looks=(), gates=(), questions=(), unlooked=())))

    assert "No marker was made on this unit." in text
    assert "Not signed" in text


@pytest.mark.parametrize(("count", "paper"), [(60, "letter"), (300, "a4")])
def test_many_markers_are_all_in_the_register(count, paper):
    made = tuple(marker(number) for number in range(count))
    told = "\n".join(pages(make_sheet(sheet(made), paper=paper)))
    register = told[told.index("Register of markers") :]

    for one in made:
        assert re.search(rf"^{one.tag}\b", register, re.MULTILINE), one.tag


def test_sixty_markers_with_forty_photos_stay_under_four_megabytes(tmp_path):
    data = typical(tmp_path, 60, 20)
    pdf = make_sheet(data)
    stored = sum(os.path.getsize(photo.path) for one in data.markers for photo in one.photos)

    assert len(images(pdf)) == 40
    assert len(pdf) < 4 * 1024 * 1024
    assert len(pdf) - stored < 200_000  # all that is not pictures


def xobjects(page):
    return page["/Resources"].get("/XObject", {})


def test_a_stored_photo_is_in_the_file_byte_for_byte(tmp_path, read):
    data = typical(tmp_path, 1, 1)
    objects = [one for page in read(make_sheet(data)).pages for one in xobjects(page).values()]
    raw = {one.get_object()._data for one in objects if one.get_object()["/Subtype"] == "/Image"}

    assert raw == {Path(photo.path).read_bytes() for photo in data.markers[0].photos}


def test_a_photo_shown_twice_is_stored_once(tmp_path):
    one = typical(tmp_path, 1, 1).markers[0]
    again = sheet((one, replace(one, tag="B2")))

    assert len(make_sheet(again)) - len(make_sheet(sheet((one,)))) < os.path.getsize(one.photos[0].path)


def test_a_photo_that_is_not_there_leaves_a_box_that_says_why(plumb):
    photos = (Photo(state="awaited"), Photo(state="refused"), Photo(path="/nowhere/lost.jpg"))
    pdf = make_sheet(
        sheet(tuple(marker(n, state="open", worked=(), photos=(photo,)) for n, photo in enumerate(photos)))
    )
    register = next(number for number, told in enumerate(pages(pdf)) if "Register of markers" in told)
    page = plumb(pdf).pages[register]

    inside = [page.crop(bounds(rect)).extract_text() for rect in page.rects]
    for said in ("awaited", "refused", "not readable"):
        assert len([text for text in inside if said in text]) == 1, said


def bounds(rect):
    return rect["x0"], rect["top"], rect["x1"], rect["bottom"]


def test_a_file_that_is_no_picture_does_not_stop_the_sheet(tmp_path, words):
    path = tmp_path / "broken.jpg"
    path.write_bytes(b"\xff\xd8\xff\xe0 not really")

    assert "not readable" in words(make_sheet(sheet((marker(0, photos=(Photo(path=str(path)),)),))))


def test_a_grey_photo_is_shown_too(tmp_path, read):
    Image.new("L", (600, 450), 120).save(tmp_path / "grey.jpg")
    pdf = make_sheet(sheet((marker(0, photos=(Photo(path=str(tmp_path / "grey.jpg")),)),)))

    images = [image for page in read(pdf).pages for image in page.images]
    assert [Image.open(io.BytesIO(image.data)).size for image in images] == [(600, 450)]


def test_limits_of_the_house_are_named_as_such(words):
    said = "Built-in limits are the shop's own starting values."

    assert said in words(make_sheet(sheet((), builtin_limits=True)))
    assert said not in words(make_sheet(sheet((), builtin_limits=False)))


def test_what_was_decided_is_told(words):
    data = sheet((marker(0, state="conceded", returns=2, escape=True),))
    text = words(make_sheet(data), "-layout")

    for said in (
        "sent back 2 times",
        "by telephone",
        "overridden",
        "The clearing holds.",
        "side storage door",
        data.head,
        "Mr Holm",
    ):
        assert said in text


def test_where_a_mark_was_found_on_the_line_stands_in_its_row(words):
    data = sheet((replace(marker(0), found_at="Exterior"), marker(1)))

    assert words(make_sheet(data)).count("found at Exterior") == 1


def test_times_are_those_of_the_plant(words):
    data = sheet((marker(0),))  # made at 08:00 UTC on a day in November

    assert "2026-11-23 09:00" in words(make_sheet(replace(data, timezone="Europe/Vienna")))
    assert "2026-11-23 03:00" in words(make_sheet(replace(data, timezone="America/New_York")))


def test_an_unknown_paper_or_time_zone_is_refused_in_one_sentence():
    with pytest.raises(SheetError, match="'paper' must be a4 or letter"):
        make_sheet(sheet(()), paper="a3")
    with pytest.raises(SheetError, match="time zone 'Moon/Base' is not known"):
        make_sheet(sheet((), timezone="Moon/Base"))


def test_the_built_in_van_is_drawn_in_all_its_views(words, read):
    van = builtin().to_sheet()
    pdf = make_sheet(sheet((marker(0),), outline=van))

    drawn = [view for view in van["views"] if not view["listed"]]
    assert len(drawn) == 5
    assert all(view["label"] in words(pdf, "-l", "1") for view in drawn)
    assert {name for name in xobjects(read(pdf).pages[0]) if "view" in name} == {
        f"/FormXob.view_{view['id']}" for view in drawn
    }


def test_a_broken_outline_is_refused_with_the_view_named():
    data = sheet(())
    data.outline["views"][1]["art"][0]["d"] = "M 0 0 K 3"

    with pytest.raises(SheetError, match="view 'right'"):
        make_sheet(data)


@pytest.mark.parametrize(("paper", "many"), [("a4", 2), ("letter", 4)])  # the second goes over the end of a page
def test_very_long_names_neither_leave_the_page_nor_lie_on_each_other(plumb, paper, many):
    long = "Maximilian-Alexander von und zu Hohenlohe-Waldenburg der Jüngere " * 2
    word = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerk" * 2
    data = sheet(
        tuple(
            marker(n, kind=word, words=long * 2, zone=word, note=long * 3, made_by=long, limit=word, size=word)
            for n in range(many)
        ),
        unit=unit(plant=long, make=word, model=long, colour=word, options=long * 3, build_number=word),
    )
    for page in plumb(make_sheet(data, paper=paper)).pages:
        shown = page.extract_words()
        assert all(w["x0"] > 0 and w["x1"] < page.width - 20 and w["bottom"] < page.height - 10 for w in shown)
        assert not list(overlaps(shown))


def overlaps(shown):
    """Yield pairs of words that cover more than a sliver of each other."""
    downwards = sorted(shown, key=lambda word: word["top"])
    for number, one in enumerate(downwards):
        for two in downwards[number + 1 :]:
            if two["top"] > one["bottom"]:
                break  # and so are all that follow
            wide = min(one["x1"], two["x1"]) - max(one["x0"], two["x0"])
            high = min(one["bottom"], two["bottom"]) - max(one["top"], two["top"])
            if wide > 0.5 and high > 1.5:
                yield one["text"], two["text"]


def test_no_photo_is_cut_by_the_end_of_a_page(tmp_path):
    found = images(make_sheet(typical(tmp_path, 30, 15), paper="letter"))

    assert len(found) == 30
    assert all(44 < bottom < top < 792 - 30 for _left, bottom, _right, top in found)
