"""Lines, pages and tags: the parts of the layout that hold for any text and any number of markers."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageFont

from inspect_app.sheet.flow import Band, Block, Flow, Frame, title_band
from inspect_app.sheet.labels import Spot, place_tags
from inspect_app.sheet.text import BODY, BOLD, REGULAR, clean, font_folder, shorten, width, wrap
from inspect_app.sheet.times import Clock

FRAME = Frame(left=30, top=800, width=500, bottom=40)


def bands(*heights):
    return tuple(Band(height=height, draw=lambda canvas, x, top: None) for height in heights)


@given(st.text(max_size=300), st.floats(20, 200))
@settings(deadline=None, max_examples=150)
def test_no_line_is_wider_than_its_column_and_no_letter_is_lost(text, room):
    lines = wrap(text, BODY, room)

    assert all(width(line, BODY) <= room or len(line) == 1 for line in lines)
    assert "".join("".join(lines).split()) == "".join(clean(text).split())


def test_printed_text_has_whole_letters_and_no_control_characters():
    assert clean("e\u0302\u0303\x00\u200b\ta") == "ễ a"


def test_a_shortened_text_fits_and_says_that_it_was_cut():
    cut = shorten("Brandt and a very long name of a workshop", BODY, 60)

    assert cut.endswith("…")
    assert width(cut, BODY) <= 60
    assert shorten("Brandt", BODY, 60) == "Brandt"


def freetype(face, size=1000):
    return ImageFont.truetype(font_folder() / f"{face}.ttf", size, layout_engine=ImageFont.Layout.BASIC)


def test_widths_are_those_freetype_reads_from_the_font_file():
    font = freetype(BOLD)

    measured = sum(font.getlength(letter) for letter in "Żaneta ½")
    assert width("Żaneta ½", BODY.but(font=BOLD, size=1000)) == pytest.approx(measured, rel=0.01)


@pytest.mark.parametrize("face", [REGULAR, BOLD])
def test_the_font_draws_every_letter_of_the_names_on_the_floor(face):
    font = freetype(face, 40)
    missing = bytes(font.getmask("\uffff"))
    wanted = unicodedata.normalize("NFC", "ŁukaszNguyễnŻanetaДмитроŐ½Ελένη·–“”…←→")

    assert not [letter for letter in wanted if bytes(font.getmask(letter)) == missing]


@given(st.lists(st.lists(st.integers(1, 400), min_size=1, max_size=8), min_size=1, max_size=30))
def test_no_band_is_ever_cut_or_lost(rows):
    flow = Flow(FRAME)
    for heights in rows:
        flow.add(Block(bands=bands(*heights)), bands(10))

    placed = [(band.height, top) for page in flow.pages for band, top in page]
    assert all(top - height >= FRAME.bottom - 1e-6 for height, top in placed)
    assert sum(height for height, _ in placed) >= sum(map(sum, rows))


def test_a_low_block_moves_on_whole_and_its_heading_comes_again():
    flow, heading = Flow(FRAME), bands(12)
    flow.place(*bands(700))
    block = Block(bands=bands(30, 30, 30))
    flow.add(block, heading)

    assert [band for band, _ in flow.pages[1]] == [*heading, *block.bands]


def test_a_block_higher_than_a_page_breaks_and_says_that_it_goes_on():
    flow, (again,) = Flow(FRAME), bands(13)
    flow.add(Block(bands=bands(*[50] * 20), again=again))

    assert len(flow.pages) == 2
    assert flow.pages[1][0][0] is again


@pytest.mark.parametrize(("used", "block_high"), [(735, 20), (300, 450)])
def test_a_title_never_stands_alone_at_the_foot_of_a_page(used, block_high):
    flow = Flow(FRAME)
    flow.place(*bands(used))
    block = Block(bands=bands(block_high))
    flow.section("Looks", [block])

    assert len(flow.pages) == 2
    assert flow.pages[1][-1][0] is block.bands[0]


@pytest.mark.parametrize("spare", range(-2, 14, 3))
def test_a_title_and_what_it_heads_share_a_page_however_tight_it_is(spare):
    flow, block = Flow(FRAME), Block(bands=bands(200))
    flow.place(*bands(FRAME.height - title_band("Looks").height - block.height - spare))
    flow.section("Looks", [block])

    *_, (title, _top), (last, _) = flow.pages[-1]
    assert last is block.bands[0]
    assert title not in (band for page in flow.pages[:-1] for band, _ in page)
    assert title.height == title_band("Looks").height


def touching(one, two):
    return min(one[2], two[2]) - max(one[0], two[0]) > 0.01 and min(one[3], two[3]) - max(one[1], two[1]) > 0.01


def test_tags_of_neighbours_lie_on_neither_rings_nor_each_other():
    spots = [Spot(x=100 + 14 * (n % 6), y=100 + 16 * (n // 6), radius=5, wide=14, high=6) for n in range(24)]
    places = place_tags(spots, (0, 0, 400, 300))
    rings = [(s.x - 5, s.y - 5, s.x + 5, s.y + 5) for s in spots]

    boxes = [place.box for place in places]
    assert all(place.free for place in places)
    assert not [1 for n, one in enumerate(boxes) for two in [*boxes[n + 1 :], *rings] if touching(one, two)]


@given(st.lists(st.tuples(st.floats(0, 200), st.floats(0, 100)), max_size=60))
@settings(deadline=None, max_examples=40)
def test_every_ring_gets_its_own_tag_however_crowded(points):
    spots = [Spot(x=x, y=y, radius=4, wide=12, high=5) for x, y in points]
    places = place_tags(spots, (-10, -10, 210, 110))

    assert len(places) == len(spots)
    free = [place.box for place in places if place.free]
    assert not [1 for n, one in enumerate(free) for two in free[n + 1 :] if touching(one, two)]


def test_the_clock_follows_summer_time_as_the_tz_database_has_it():
    clock = Clock(
        "Europe/Vienna"
    )  # clocks went back at 01:00 UTC on 25 October 2026 (last Sunday, Directive 2000/84/EC)
    half_past_midnight_utc = 1_792_888_200_000

    assert clock.at(half_past_midnight_utc) == "2026-10-25 02:30"
    assert clock.at(half_past_midnight_utc + 3_600_000) == "2026-10-25 02:30"
    assert clock.hours(half_past_midnight_utc, half_past_midnight_utc + 5_400_000) == "02:30–03:00"
