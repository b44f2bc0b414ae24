"""The rings as they stand in the file: as many as markers, each in the shape of its state, each in its place."""

import io
import re
from functools import cache

import pdfplumber
import pytest

from inspect_app.sheet.make import make_sheet
from inspect_app.sheet.text import WAX

from .samples import marker, sheet

KINDS = ("curves", "lines", "rects")


def wax(shapes):
    """Return the shapes that are stroked in wax and not filled."""
    return [one for one in shapes if one["stroke"] and not one["fill"] and one["stroking_color"] == pytest.approx(WAX)]


def cover(plumb, *markers):
    return plumb(make_sheet(sheet(markers))).pages[0]


def legend_less(plumb, *markers):
    """Return the rings, lines and squares of the cover without those of the legend, which is drawn last."""
    return without_the_legend(cover(plumb, *markers))


def without_the_legend(page):
    """Do the same of a cover that was read."""
    shown = [wax(getattr(page, kind)) for kind in KINDS]
    return tuple(shapes[: len(shapes) - legend] for shapes, legend in zip(shown, shapes_of_the_legend(), strict=True))


@cache
def shapes_of_the_legend():
    """How many shapes of each kind a cover without markers has."""
    with pdfplumber.open(io.BytesIO(make_sheet(sheet(())))) as empty:
        return tuple(len(wax(getattr(empty.pages[0], kind))) for kind in KINDS)


@cache
def one_of_each(state, severity="S3"):
    """The shapes of one marker's ring on a cover of its own, which is drawn and read once."""
    made = make_sheet(sheet((marker(0, view="left", x=20000, y=12000, state=state, severity=severity),)))
    with pdfplumber.open(io.BytesIO(made)) as pdf:
        return without_the_legend(pdf.pages[0])


@pytest.mark.parametrize("count", [0, 1, 25, 60])
def test_the_cover_has_a_ring_for_each_marker(plumb, count):
    rings, _, _ = legend_less(plumb, *(marker(number) for number in range(count)))

    assert len(rings) == count


@pytest.mark.parametrize(
    ("state", "lines", "squares", "dashed"),
    [
        ("open", 0, 0, False),
        ("in_rework", 1, 0, False),
        ("reworked", 0, 0, True),
        ("cleared", 1, 0, False),
        ("accepted", 0, 0, False),
        ("conceded", 0, 1, False),
        ("no_flaw", 0, 0, True),
        ("withdrawn", 0, 0, True),
    ],
)
def test_the_shape_of_a_ring_tells_its_state(state, lines, squares, dashed):
    rings, strokes, rects = one_of_each(state)

    assert (len(rings), len(strokes), len(rects)) == (1, lines, squares)
    assert bool(rings[0]["dash"] and rings[0]["dash"][0]) is dashed


def test_a_bar_lies_under_a_ring_in_rework_and_a_stroke_goes_through_a_cleared_one():
    (ring,), (bar,), _ = one_of_each("in_rework")
    assert bar["top"] > ring["bottom"]

    (ring,), (stroke,), _ = one_of_each("cleared")
    assert stroke["top"] < (ring["top"] + ring["bottom"]) / 2 < stroke["bottom"]


def test_a_broken_ring_differs_from_a_dotted_one():
    broken = one_of_each("reworked")[0][0]["dash"][0]
    dotted = one_of_each("no_flaw")[0][0]["dash"][0]

    assert min(broken) > 1
    assert min(dotted) == 0  # no length but round ends: dots


def test_the_graver_the_flaw_the_heavier_its_ring(plumb):
    grades = [marker(n, view="left", x=8000 * n, y=12000, state="open", severity=f"S{n}") for n in range(1, 6)]
    rings, _, _ = legend_less(plumb, *grades)
    weights = [ring["linewidth"] for ring in sorted(rings, key=lambda ring: ring["x0"])]

    assert weights == sorted(weights, reverse=True)
    assert len(set(weights)) == 5
    assert one_of_each("cleared", "S1")[0][0]["linewidth"] < weights[2]


def test_rings_stand_where_the_markers_are_at_the_scale_the_sheet_names(plumb):
    spots = [(10000, 6000), (50000, 6000), (50000, 22000)]  # tenths of a millimetre
    made = [marker(n, view="left", x=x, y=y, state="open") for n, (x, y) in enumerate(spots)]
    page = cover(plumb, *made)
    rings, _, _ = without_the_legend(page)
    scale = int(re.search(r"Scale 1 : (\d+)", page.extract_text())[1])
    centres = [((r["x0"] + r["x1"]) / 2, (r["top"] + r["bottom"]) / 2) for r in rings]

    across = (centres[1][0] - centres[0][0]) * 25.4 / 72 * scale
    down = (centres[2][1] - centres[1][1]) * 25.4 / 72 * scale
    assert across == pytest.approx(4000, rel=0.02)
    assert down == pytest.approx(1600, rel=0.02)


def test_a_run_is_drawn_from_its_ring_to_its_end(plumb):
    _, lines, _ = legend_less(plumb, marker(0, view="left", x=10000, y=6000, x2=30000, y2=6000, state="open"))

    assert max(line["width"] for line in lines) > 60


def test_a_crowded_view_is_drawn_again_larger_with_every_tag(words):
    made = tuple(
        marker(number, view="left", x=5000 + number * 2500, y=6000 + number % 5 * 3000) for number in range(20)
    )

    assert "Crowded views, larger" in words(make_sheet(sheet(made)))
    assert "Crowded views, larger" not in words(make_sheet(sheet(made[:5])))


def test_a_view_is_stored_once_however_often_it_is_drawn(read):
    made = tuple(marker(number, view="left") for number in range(20))
    reader = read(make_sheet(sheet(made)))
    drawn = [name for page in reader.pages for name in page["/Resources"].get("/XObject", {}) if "left" in name]
    forms = {page["/Resources"]["/XObject"].raw_get(name).idnum for page in reader.pages[:2] for name in set(drawn)}

    assert len(drawn) == 2
    assert len(forms) == 1


def test_markers_without_a_place_on_a_drawing_are_listed(words, plumb):
    inside = marker(0, view="inside", x=None, y=None, words="under the driver's seat", zone="seat box")
    data = sheet((inside,))

    assert "Marked on lists, not on a drawing Inside A1" in words(make_sheet(data))
    assert legend_less(plumb, inside)[0] == []


def test_signatures_are_lines_not_pictures(plumb):
    page = cover(plumb)
    ink = [c for c in page.curves + page.lines if c["linewidth"] == pytest.approx(1.0)]

    assert len(ink) == 3  # the three strokes of the sample
    assert page.images == []
