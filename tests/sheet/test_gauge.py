"""The gauge card is true to size, as an independent reader of PDFs measures it."""

import io

import pdfplumber
import pytest

from inspect_app.sheet.data import SheetError
from inspect_app.sheet.gauge import DOTS, GAPS, make_gauge_card

MM = 72 / 25.4  # points, by definition of the typographic point in PDF (ISO 32000-1, 8.3.2.3) and of the inch


def page(paper="a4", **more):
    return pdfplumber.open(io.BytesIO(make_gauge_card(paper=paper, **more))).pages[0]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_dot_has_its_diameter_on_both_cards(paper):
    dots = sorted((one["x1"] - one["x0"]) / MM for one in page(paper).curves)

    assert dots == pytest.approx(sorted([*DOTS, *DOTS]), abs=0.01)


def test_the_bars_are_as_wide_as_the_gaps_they_stand_for():
    bars = [one for one in page().rects if one["height"] / MM == pytest.approx(13, abs=0.01)]

    assert sorted(one["width"] / MM for one in bars) == pytest.approx(sorted([*GAPS, *GAPS]), abs=0.01)


def test_the_rule_is_fifty_millimetres_with_a_tick_at_each():
    lines = page().lines
    rules = [one for one in lines if one["width"] > one["height"]]
    ticks = [one for one in lines if one["height"] > one["width"]]

    assert [one["width"] / MM for one in rules] == pytest.approx([50, 50], abs=0.01)
    places = sorted(one["x0"] / MM for one in ticks)
    assert len(places) == 2 * 51
    assert [b - a for a, b in zip(places[::2], places[2::2], strict=False)] == pytest.approx([1.0] * 50, abs=0.01)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_all_of_it_lies_on_the_paper_with_room_to_spare_for_printers(paper):
    card = page(paper, plant="Żaneta & Łukasz, Дмитро")
    drawn = [*card.rects, *card.curves, *card.lines, *card.chars]

    assert min(one["x0"] for one in drawn) > 10 * MM
    assert max(one["x1"] for one in drawn) < float(card.width) - 10 * MM
    assert min(one["top"] for one in drawn) > 10 * MM
    assert max(one["bottom"] for one in drawn) < float(card.height) - 10 * MM
    assert "Żaneta & Łukasz, Дмитро" in card.extract_text()


def test_a_paper_that_is_not_known_is_refused_in_words():
    with pytest.raises(SheetError, match="must be a4 or letter"):
        make_gauge_card(paper="a3")


def test_anyone_signed_in_takes_the_card(client_as):
    answer = client_as("per").get("/gauge-card.pdf?paper=letter")

    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    assert client_as("per").get("/gauge-card.pdf?paper=a3").status_code == 404
