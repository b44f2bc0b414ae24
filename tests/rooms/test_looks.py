"""What only an eye sees, measured: words that lie on words, columns that do not stand under each other, drawings cut off."""

import io
import re
from itertools import pairwise

import pytest
from accessible import at_each_size
from PIL import Image
from playwright.sync_api import expect
from signed_units import ready, walked
from walking import under_way

from sample_units.chromium import SIZES
from tests.lent import EMPTY

pytestmark = pytest.mark.browser

DOOR, SILL = "left.sliding_door_lower", "left.sill"
WIDE, PHONE = (dict(zip(("width", "height"), SIZES[size], strict=True)) for size in ("wide", "phone"))
CUT = "() => [...document.querySelectorAll('.station *')].filter((one) => one.clientWidth && one.scrollWidth > one.clientWidth + 1).length"
BOXES = """(what) => [...document.querySelectorAll(what)].map((one) => {
  const { left, right, top, bottom } = one.getBoundingClientRect();
  return { left: Math.round(left), right: Math.round(right), top: Math.round(top), bottom: Math.round(bottom), text: one.textContent };
}).filter((box) => box.right > box.left)"""


def boxes(page, what):
    return page.evaluate(BOXES, what)


def meet(one, other):
    return (
        min(one["right"], other["right"]) - max(one["left"], other["left"]) > 1
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > 1
    )


def lying_on_each_other(found):
    return [(one["text"], other["text"]) for n, one in enumerate(found) for other in found[n + 1 :] if meet(one, other)]


def test_of_marks_close_by_at_the_sign_off_each_tag_that_is_shown_can_be_read_and_the_chosen_one_is(plant, page_as):
    unit = plant.unit()
    near = [("swirl", DOOR, {"size": 300, "x": 29_000 + 400 * n, "y": 17_000}) for n in range(6)]
    *_, last = walked(plant, unit, *near)
    page = page_as("ines", f"/sign-off/{unit}", size="phone")
    expect(page.locator("#van [data-marker]")).to_have_count(6)

    shown = boxes(page, "#van .ring-tag")
    assert 0 < len(shown) < 6
    assert lying_on_each_other(shown) == []

    page.locator("#van").scroll_into_view_if_needed()
    ring = page.locator(f'[data-marker="{last}"] .ring-hit').bounding_box()
    page.touchscreen.tap(ring["x"] + ring["width"] / 2, ring["y"] + ring["height"] / 2)
    expect(page.locator("#van .chosen .ring-tag")).to_have_count(1)
    assert lying_on_each_other(boxes(page, "#van .ring-tag")) == []


PLACED = """async (marks) => {
  const { sides } = await import('/rooms/signoff/tags.js');
  return Object.fromEntries(sides(marks, { r: 50, width: 6000, lit: null }));
}"""


def test_of_decided_marks_no_tag_lies_on_a_ring_and_of_others_only_where_there_is_no_room(page_as):
    page = page_as("ines", EMPTY)
    made = [{"id": name, "tag": name, "x": x, "y": 9000, "undecided": name == "B3"} for name, x in (("B1", 9000), ("B2", 9900), ("B3", 10800), ("B4", 11700))]  # fmt: skip

    # Each ring is 1.8 radii from the next, a tag reaches from 1.25 to 3.1: B1 has room outwards, B2 nowhere, B3 has
    # to be seen though it lies on B4's ring, whose own tag would lie on it.
    assert page.evaluate(PLACED, made) == {"B1": "left", "B3": "right"}


def test_lists_stand_in_columns_and_folds_are_of_one_height(plant, page_as):
    unit = plant.unit()
    for name in ("paint", "floor"):
        plant.per.do(unit, "station_passed", {"station": name})
    walked(plant, unit, ("nib", DOOR, {"size": 15}))
    page = page_as("maud", EMPTY, size="wide")

    page.goto(f"/units/{unit}")
    assert len({box["left"] for box in boxes(page, ".station > :nth-child(2)")}) == 1
    page.set_viewport_size(PHONE)
    assert page.evaluate(CUT) == 0
    page.set_viewport_size(WIDE)

    page.goto("/setup/catalogue/rules/bars")
    heights = [box["bottom"] - box["top"] for box in boxes(page, ".setup-rules > summary")]
    tops = [box["top"] for box in boxes(page, ".setup-rules")]
    assert len(tops) > 9
    assert {below - above - high for above, below, high in zip(tops, tops[1:], heights, strict=False)} <= {0, 1, 2}

    page.set_viewport_size(PHONE)
    page.goto("/plans")
    make, plan, due = (boxes(page, f".plan-unit > :nth-child({n})")[0] for n in (2, 3, 4))
    assert plan["left"] == make["left"]
    assert not meet(plan, due)


def test_a_number_of_marks_hides_nothing_of_the_van_on_the_rail(plant, page_as):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    for n in range(12):
        plant.ines.mark(unit, walk, "nib", DOOR, f"B{n + 1}", size=15)
    page = page_as("ines", f"/walk/{unit}", size="wide")
    badge = page.locator("[data-view=left] .rail-open")
    expect(badge).to_contain_text("12")

    assert badge.evaluate("(one) => getComputedStyle(one).backgroundColor") == "rgba(0, 0, 0, 0)"
    wax = [int(part) for part in re.findall(r"\d+", badge.evaluate("(one) => getComputedStyle(one).color"))]
    seen = Image.open(io.BytesIO(badge.screenshot())).convert("RGB")
    near = sum(
        count
        for count, colour in seen.getcolors(99_999)
        if max(abs(a - b) for a, b in zip(colour, wax, strict=True)) < 24
    )
    assert near > 20  # pixels: the halo lies below the figures, not over them


def test_beside_a_kept_mark_and_its_note_no_view_of_the_rail_is_cut(plant, page_as):
    tablet = under_way(page_as, plant, plant.unit(), size="wide")
    tablet.mark(DOOR, "nib")
    tablet.page.get_by_role("button", name="Note").tap()
    expect(tablet.page.get_by_role("button", name="Keep note")).to_be_visible()

    cut = "(all) => all.filter((one) => one.scrollHeight > one.clientHeight + 1).map((one) => one.textContent)"
    assert tablet.page.locator("#rail .rail-view").evaluate_all(cut) == []


def test_on_a_phone_seven_sizes_and_their_limit_fit_and_what_is_missing_is_listed_without_gaps(plant, page_as):
    tablet = under_way(page_as, plant, plant.unit(), size="phone")
    roof = "roof.bay_1_left"  # class C: a chip there has a limit within its sizes
    tablet.view("roof")
    tablet.mark(roof, "chip")
    expect(tablet.page.locator("#kept .size")).to_have_count(7)
    expect(tablet.page.locator("#kept .size-limit")).to_be_visible()
    assert tablet.page.locator("#kept .sizes").evaluate("(one) => one.scrollWidth - one.clientWidth") <= 0
    assert min(box["right"] - box["left"] for box in boxes(tablet.page, "#kept .size")) >= 44

    tablet.tap(".more > summary")
    tablet.tap("[data-more=finish]")
    folds = boxes(tablet.page, "dialog[open] .fold")
    assert len(folds) > 3
    assert {below["top"] - above["bottom"] for above, below in pairwise(folds)} <= {-1, 0, 1}


def test_the_kinds_stand_three_abreast_on_a_phone_and_none_is_cut(plant, page_as):
    tablet = under_way(page_as, plant, plant.unit(), size="phone")
    tablet.touch(DOOR)
    tablet.tap("#dock .kind-more")
    kinds = tablet.page.locator("dialog[open] .kinds .kind")
    expect(kinds.first).to_be_visible()

    assert len({box["left"] for box in boxes(tablet.page, "dialog[open] .kinds .kind")}) == 3
    assert kinds.evaluate_all("(all) => all.filter((one) => one.scrollWidth > one.clientWidth).map((one) => one.textContent)") == []  # fmt: skip


CHOSEN_CUT = """() => {
  const pen = document.createElement('canvas').getContext('2d');
  return [...document.querySelectorAll('select')].filter((one) => {
    const { fontSize, fontFamily, letterSpacing, paddingLeft, paddingRight } = getComputedStyle(one);
    pen.font = `${fontSize} ${fontFamily}`;
    pen.letterSpacing = letterSpacing === 'normal' ? '0px' : letterSpacing;
    const room = one.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight);
    return one.clientWidth && pen.measureText(one.selectedOptions[0]?.text ?? '').width > room + 1;
  }).map((one) => one.name);
}"""


def test_what_is_chosen_in_a_form_of_the_setup_is_shown_whole(page_as):
    page, cut = page_as("maud", EMPTY, size="wide"), {}
    for path in ("methods/spot_repair", "kinds/nib", "kinds/corrosion", "rules/clusters"):
        assert page.goto(f"/setup/catalogue/{path}").ok
        assert page.locator("select").count() > 0
        for size in at_each_size(page):
            cut[f"{path} {size}"] = page.evaluate(CHOSEN_CUT)

    assert {path: names for path, names in cut.items() if names} == {}


def test_seven_rooms_stand_on_one_line_of_a_phone(page_as):
    page = page_as("maud", EMPTY, size="phone")
    page.goto("/plans")

    assert page.locator(".rooms a").count() == 7
    lines = """(one) => { const words = document.createRange(); words.selectNodeContents(one); return words.getClientRects().length; }"""
    assert [one.inner_text() for one in page.locator(".rooms a").all() if one.evaluate(lines) > 1] == []
    assert page.locator(".rooms").evaluate("(one) => one.scrollWidth - one.clientWidth") <= 0


def test_on_a_tall_tablet_the_walk_names_make_and_colour_whole(plant, page_as):
    unit = plant.unit()
    plant.ines.start_walk(unit)
    page = page_as("ines", f"/walk/{unit}", size="tall")
    expect(page.locator(".cell-unit")).to_contain_text("Brennach")

    assert page.locator(".cell-unit > *").evaluate_all("(all) => all.filter((one) => one.scrollWidth > one.clientWidth).map((one) => one.textContent)") == []  # fmt: skip


def test_the_plots_of_the_rates_can_be_read_on_a_phone(plant, page_as):
    for n in range(6):
        walked(plant, plant.unit(f"{600_000 + n}"), ("nib", DOOR, {"size": 15}), ("gap", SILL, {}))
    page = page_as("maud", "/rates", size="phone")
    high = "(one) => parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a"

    texts = page.locator(".rate-plot text")
    assert texts.count() > 4
    assert min(text.evaluate(high) for text in texts.all()) >= 10.8
    assert lying_on_each_other(boxes(page, ".rate-plot text")) == []


def test_a_line_of_the_bench_does_not_say_again_what_the_one_above_it_says(plant, page_as):
    walked(plant, plant.unit(), ("nib", DOOR, {"size": 15}), ("swirl", DOOR, {"size": 300}))
    page = page_as("per", "/rework", size="wide")
    lines = page.locator("[data-list] .job-line")
    expect(lines).to_have_count(2)

    expect(lines.first.locator(".line-why")).to_contain_text("due")
    expect(lines.last).to_contain_text("same part")
    expect(lines.last.locator(".line-why")).not_to_contain_text("due")


def test_a_unit_ready_but_for_its_signature_is_the_only_one_called_ready(plant, page_as):
    signable, other = ready(plant), plant.unit("118940")
    walked(plant, other)
    page = page_as("ines", "/sign-off", size="wide")

    expect(page.locator("section", has=page.locator("#ready")).locator("a.unit-line")).to_have_attribute(
        "href", f"/sign-off/{signable}"
    )
    expect(page.locator("section", has=page.locator("#blocked"))).to_contain_text("Blocked: Parts matched · Water")
