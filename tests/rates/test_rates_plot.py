"""The plot: true to its numbers, safe to put in a page, readable by those who cannot see it."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.rates.plot import Words, interval_plot
from inspect_app.rates.scale import round_scale
from inspect_app.rates.table import Row, lines

SVG = "{http://www.w3.org/2000/svg}"
LABELS = {"paint": "Paint", "supplier": "Supplier or chassis maker", "odd": 'Lacquer & "wax" <b>'}
ROWS = (
    Row(key="paint", count=136, exposure=22),
    Row(key="supplier", count=30, exposure=22),
    Row(key="odd", count=0, exposure=22),
    Row(key="stores", count=2, exposure=3),
)


def plot(rows=ROWS, width=720):
    words = Words(title="Flaws a van by department of origin", labels=LABELS)
    return interval_plot(lines(rows), words, ident="origin", width=width)


def parsed(text):
    return ET.fromstring(text)  # noqa: S314, our own text


def all_of(root, name):
    return [one for one in root.iter() if one.get("class") == name]


def test_it_is_named_and_described_for_those_who_cannot_see_it():
    root = parsed(plot())
    ids = {one.get("id"): one.text for one in root.iter() if one.get("id")}

    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "origin-t origin-d"
    assert ids["origin-t"] == "Flaws a van by department of origin"
    assert "Paint: 6.2 marks a van (5.2 to 7.3, 22 vans)" in ids["origin-d"]
    assert "stores: 2 marks; only 3 vans, a rate needs 5" in ids["origin-d"]


@pytest.mark.parametrize("width", [360, 720])
def test_vans_that_are_the_same_on_every_row_are_not_said_on_each(width):
    alike, apart = (
        parsed(plot(rows, width)) for rows in (ROWS[:3], (*ROWS[:3], Row(key="stores", count=2, exposure=9)))
    )

    assert [one.text for one in all_of(alike, "rate-soft")] == ["5.2 to 7.3", "0.92 to 1.9", "0 to 0.17"]
    assert [one.text for one in all_of(apart, "rate-soft")][:2] == ["5.2 to 7.3, 22 vans", "0.92 to 1.9, 22 vans"]
    assert ["22 vans" in one.text for one in all_of(alike, "rate-tick")].count(True) == (width == 720)


@pytest.mark.parametrize("width", [360, 720])
def test_a_strict_content_policy_has_nothing_to_object_to(width):
    root = parsed(plot(width=width))

    assert not [one for one in root.iter() if one.get("style") or one.tag in (f"{SVG}style", f"{SVG}script")]
    assert not [key for one in root.iter() for key in one.attrib if key.startswith("on") or "href" in key]
    colours = {one.get(paint) for one in root.iter() for paint in ("fill", "stroke")} - {None}
    assert colours == {"currentColor"}


@pytest.mark.parametrize("width", [360, 720])
def test_dots_and_ranges_lie_where_the_scale_says(width):
    root, made = parsed(plot(width=width)), [line for line in lines(ROWS) if line.rate is not None]
    ticks = [one for one in all_of(root, "rate-tick") if one.get("text-anchor") == "middle"]
    zero, top = ticks[0], ticks[-1]
    per_unit = (float(top.get("x")) - float(zero.get("x"))) / float(top.text)

    for line, dot, reach in zip(made, all_of(root, "rate-dot"), all_of(root, "rate-range"), strict=True):
        for value, at in ((line.rate, dot.get("cx")), (line.low, reach.get("x1")), (line.high, reach.get("x2"))):
            assert float(at) == pytest.approx(float(zero.get("x")) + per_unit * value, abs=0.2)


def test_a_hidden_rate_has_no_dot_and_says_why():
    root = parsed(plot(ROWS[3:]))

    assert not all_of(root, "rate-dot") + all_of(root, "rate-range")
    assert [one.text for one in all_of(root, "rate-hidden")] == ["only 3 vans, a rate needs 5"]


def test_a_plot_of_nothing_is_still_a_picture():
    assert parsed(plot(())).find(f"{SVG}desc").text == "Nothing was counted."


@given(st.text(max_size=40).filter(lambda text: text.isprintable()))
def test_no_label_can_break_out_of_its_text(label):
    words = Words(title=label, labels={"paint": label})
    root = parsed(interval_plot(lines(ROWS[:1]), words, ident="x"))

    assert {one.tag.removeprefix(SVG) for one in root.iter()} <= {"svg", "title", "desc", "line", "text", "g", "circle"}
    assert root.find(f"{SVG}title").text == (label or None)


@given(st.floats(1e-6, 1e6))
def test_the_scale_reaches_the_highest_without_wasting_half_the_width(highest):
    scale = round_scale(highest)

    assert scale.ticks[0] == 0
    assert scale.ticks[-1] == pytest.approx(scale.top)
    assert highest <= scale.top * (1 + 1e-9)
    assert scale.top <= 2 * highest
    assert 2 <= len(scale.ticks) <= 7


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 720])
def test_in_a_real_browser_no_words_overlap_or_leave_the_picture(width, chromium):
    page = chromium.new_page()
    page.set_content(f'<div style="width:{width}px;font-family:sans-serif">{plot(width=width)}</div>')
    boxes = page.evaluate(
        "[...document.querySelectorAll('text')].map(t => {const b = t.getBBox();"
        " return [b.x, b.y, b.x + b.width, b.y + b.height, t.textContent]})"
    )
    height = page.evaluate("document.querySelector('svg').viewBox.baseVal.height")
    page.close()

    assert not [box for box in boxes if box[0] < 0 or box[1] < 0 or box[2] > width or box[3] > height]
    pairs = [(one, two) for at, one in enumerate(boxes) for two in boxes[:at]]
    assert not [
        (one[4], two[4])
        for one, two in pairs
        if one[0] < two[2] - 1 and two[0] < one[2] - 1 and one[1] < two[3] - 4 and two[1] < one[3] - 4
    ]
