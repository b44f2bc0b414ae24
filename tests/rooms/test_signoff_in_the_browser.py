"""The sign-off by touch, by keyboard and to a screen reader's rules, in a real browser."""

import io
import re

import pytest
from accessible import at_each_size, faults_everywhere
from playwright.sync_api import expect
from pypdf import PdfReader
from signed_units import PIN, concession, issued, late_marker, ready, sheet_file, sign, walked

from sample_units.chromium import SIZES
from sample_units.hands import confirming
from tests.lent import EMPTY

pytestmark = pytest.mark.browser

OUT_OF_SIGHT = ".unseen, .skip, [hidden] *"


@pytest.fixture
def unit(plant):
    return ready(plant)


def draw(page, *strokes):
    """Draw with a finger, as the browser's own touch events (shares of the pad)."""
    pad = page.locator("[data-pad] svg")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    finger = page.context.new_cdp_session(page)
    for stroke in strokes:
        points = [{"x": box["x"] + x * box["width"], "y": box["y"] + y * box["height"]} for x, y in stroke]
        finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": points[:1]})
        for point in points[1:]:
            finger.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [point]})
        finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


NAME = ([(0.1, 0.7), (0.2, 0.2), (0.3, 0.7)], [(0.4, 0.6), (0.5, 0.4), (0.6, 0.65), (0.8, 0.5)])


def pin(page, digits=PIN):
    """Tap the PIN on the big keys."""
    for digit in digits:
        page.locator(f'[data-key="{digit}"]').tap()


def signed(page, who=None):
    expect(page.locator("[data-gate=release]"), who).to_contain_text("as revision A")


def app_strokes(app, unit):
    from inspect_app.journal.queries.sheets import as_signed

    return as_signed(app.extensions["lampwalk"].journal.read(), unit, "A").strokes


PEN_AND_PALM = """() => {
  const svg = document.querySelector('[data-pad] svg');
  const { left, top } = svg.getBoundingClientRect();
  svg.setPointerCapture = () => {};
  const stroke = (pointerType, pointerId, x, y) => {
    for (const [type, far] of [['pointerdown', 0], ['pointermove', 70], ['pointerup', 70]]) {
      const at = { clientX: left + x + far, clientY: top + y + far / 9, button: 0, bubbles: true };
      svg.dispatchEvent(new PointerEvent(type, { pointerType, pointerId, ...at }));
    }
  };
  stroke('pen', 7, 20, 40);
  stroke('touch', 8, 200, 90);
  return svg.querySelectorAll('path').length;
}"""


def fits(page):
    """All one touches is 48 px, nothing scrolls sideways, and a tablet shows pad, PIN and button together."""
    for query in ("[data-pad] svg", '[data-key="0"]', "#sign-now"):
        box = page.locator(query).bounding_box()
        assert box["y"] + box["height"] <= 820, query
    keys, foot = page.locator('[data-key="0"]').bounding_box(), page.locator(".pane-foot").bounding_box()
    assert keys["y"] + keys["height"] <= foot["y"]

    for size in at_each_size(page):
        small = page.evaluate(
            """(skipped) => [...document.querySelectorAll('main a, main button, main input, main textarea, main summary')]
              .filter((one) => !one.matches(skipped) && one.getClientRects().length > 0)
              .map((one) => [one.textContent.trim() || one.id, one.getBoundingClientRect()])
              .filter(([, box]) => box.width < 47.5 || box.height < 47.5).map(([name]) => name)""",
            OUT_OF_SIGHT,
        )
        assert (size, small) == (size, [])
        assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth"), size


def test_a_signature_outlasts_a_wrong_pin_a_turned_tablet_a_server_away_and_a_head_that_moved_and_is_signed_by_one_tap(
    app, plant, page_as, unit
):
    page = page_as("ines", f"/sign-off/{unit}")
    why, drawn = page.locator("#sign-why"), page.locator("[data-pad] path")
    expect(why).to_have_text("Sign in the box.")
    fits(page)

    draw(page, *NAME)
    pin(page, "9137")
    page.locator("#sign-now").tap()
    expect(why).to_contain_text("not the PIN of this name")
    assert page.locator("#sign-pin").input_value() == ""
    assert drawn.count() == 2

    before = drawn.first.get_attribute("d")
    page.set_viewport_size(dict(zip(("width", "height"), SIZES["tall"], strict=True)))
    assert drawn.first.get_attribute("d") == before
    pin(page)
    expect(why).to_have_text("Everything holds.")

    page.context.set_offline(True)
    expect(why).to_contain_text("out of reach", timeout=15_000)
    expect(page.locator("#sign-now")).to_be_disabled()
    page.context.set_offline(False)
    expect(why).to_have_text("Everything holds.", timeout=15_000)

    page.route("**/now", lambda route: route.abort())  # the page has not heard of it yet
    marker = plant.rows("markers", unit)[0]["id"]
    plant.lukasz.do(unit, "origin_revised", {"marker": marker, "origin": "trim"})
    page.locator("#sign-now").tap()
    expect(why).to_contain_text("Something has happened to this unit")
    assert drawn.count() == 2
    page.locator("#sign-now").tap()

    signed(page)
    page.unroute("**/now")
    expect(page.get_by_role("link", name="Open A4")).to_be_visible(timeout=60_000)
    strokes = app_strokes(app, unit)
    assert len(strokes) == 2
    assert all(0 <= value <= 1000 for stroke in strokes for point in stroke for value in point)
    assert 60 < strokes[0][0][0] < 140  # a tenth of the pad's width from its left edge


def test_whoever_cannot_draw_types_the_name_and_signs_by_keyboard_alone(app, plant, page_as):
    page = page_as("ines", EMPTY)
    named = {}
    for last_six, name in (("047312", "Ines Okafor"), ("118940", "Дмитро Савчук"), ("203377", "Nguyễn Thị Ánh")):
        unit = named[name] = ready(plant, last_six)
        page.goto(f"/sign-off/{unit}")
        page.locator("[data-pad-type]").focus()
        page.keyboard.press("Enter")
        expect(page.locator("#typed-name"), name).to_be_focused()
        page.keyboard.type(name)
        page.locator("#sign-pin").focus()
        page.keyboard.type(PIN)
        page.keyboard.press("Enter")
        signed(page, name)

    for name, unit in named.items():
        told = PdfReader(io.BytesIO(sheet_file(app, issued(app, unit)).read_bytes())).pages[0].extract_text()
        assert "typed name" in told, name
        assert len(app_strokes(app, unit)) >= len(name.replace(" ", "")) - 2, name  # joined letters share a contour


def test_identity_is_confirmed_in_one_tap_or_by_keyboard_what_was_drawn_stays_is_undone_and_cleared_and_a_stylus_draws_beside_the_palm(
    plant, page_as
):
    unit = plant.unit()
    walked(plant, unit)
    for gate in ("parts", "water"):
        plant.lukasz.online(unit, "gate_confirmed", confirming(gate))
    page = page_as("ines", f"/sign-off/{unit}")
    draw(page, *NAME)
    expect(page.locator("#sign-why")).to_have_text("Identity is blocked.")
    page.get_by_role("button", name="They agree with the van").tap()
    expect(page.locator("[data-gate=identity]")).to_have_attribute("data-state", "held")
    expect(page.locator("#sign-why")).to_have_text("Type your PIN.")

    before = page.locator("[data-pad] path").first.get_attribute("d")
    page.set_viewport_size(dict(zip(("width", "height"), SIZES["tall"], strict=True)))
    assert page.locator("[data-pad] path").first.get_attribute("d") == before
    page.locator("[data-pad-undo]").tap()
    assert page.locator("[data-pad] path").count() == 1
    page.locator("[data-pad-clear]").tap()
    assert page.locator("[data-pad] path").count() == 0
    page.locator("[data-pad] svg").scroll_into_view_if_needed()
    assert page.evaluate(PEN_AND_PALM) == 1

    other = plant.unit("203655")
    walked(plant, other)
    page.goto(f"/sign-off/{other}")
    page.get_by_role("button", name="They agree with the van").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-gate=identity]")).to_have_attribute("data-state", "held")
    expect(page.locator("#gate-identity")).to_be_focused()


def test_the_van_shows_every_view_an_inspector_asks_for_a_concession_and_a_manager_agrees_on_the_same_page(
    plant, page_as
):
    unit = plant.unit()
    walked(plant, unit, ("swirl", "right.cab_door_lower", {"size": 300}), ("residue", "openings.rear_doors", {}))
    page = page_as("ines", f"/sign-off/{unit}")
    expect(page.locator("#van")).to_have_attribute("aria-label", re.compile("Right side: 1 ring, 1 not decided"))
    page.get_by_role("button", name="Openings 1").tap()
    page.get_by_role("button", name=re.compile("B2 ")).tap()
    expect(page.locator("#chosen-mark")).to_contain_text("rear door shuts")

    other = plant.unit("118940")
    marker = walked(plant, other, ("scratch", "rear.door_left_upper", {"severity": "S4"}))[0]
    page.goto(f"/sign-off/{other}")
    ring = page.locator(f'[data-marker="{marker}"] .ring-hit').bounding_box()
    page.touchscreen.tap(ring["x"] + ring["width"] / 2, ring["y"] + ring["height"] / 2)
    page.get_by_role("button", name="Ask for a concession").tap()
    page.get_by_role("button", name="Ask", exact=True).tap()
    expect(page.get_by_role("dialog")).to_contain_text("Say why it may stay as it is.")
    page.get_by_label("Why may it stay as it is?").fill("Only seen from below.")
    page.get_by_label("Who agreed for the customer?").fill("Mr Holm")
    page.get_by_role("button", name="Ask", exact=True).tap()
    expect(page.locator("[data-about=concession]")).to_contain_text("Mr Holm, by telephone")

    manager = page_as("maud", f"/sign-off/{other}")
    manager.get_by_role("button", name="Agree", exact=True).tap()
    expect(manager.locator("[data-gate=marks]")).to_have_attribute("data-state", "held")
    assert plant.row("markers", marker)["state"] == "conceded"


def test_a_technician_sees_the_gates_and_no_place_to_sign(page_as, unit):
    page = page_as("per", f"/sign-off/{unit}")

    expect(page.locator("[data-gate=marks]")).to_contain_text("2 made: 2 cleared")
    expect(page.get_by_text("An inspector signs this unit.")).to_be_visible()
    assert page.locator("[data-pad]").count() == 0


# Asks for the page's parts twice; the first answer, an old one, comes after the second.
LATE = """async (old) => {
  const { refreshParts } = await import('/rooms/signoff/live.js');
  const really = window.fetch;
  let begun = 0, letGo;
  window.fetch = (...asked) => (String(asked[0]).startsWith('/sign-off/') && !String(asked[0]).endsWith('/now') && begun++ === 0
    ? new Promise((done) => { letGo = () => done(new Response(old, { headers: { 'Content-Type': 'text/html' } })); }) : really(...asked));
  const late = refreshParts();
  await refreshParts();
  letGo();
  await late;
  window.fetch = really;
}"""


def test_news_is_seen_from_the_first_question_on_asked_for_again_if_lost_leaves_what_is_typed_and_is_undone_by_no_late_reading(
    plant, page_as, unit
):
    clock = plant.journal.clock()
    plant.journal.note("INSERT INTO seen_by VALUES (?, ?, ?, 0, 1)", (plant.lukasz.tablet, unit, clock - 60_000))
    page = page_as("ines", "/sign-off")
    identity = page.locator("[data-gate=identity]")
    asked, lost = [], []

    def changed_meanwhile(route):
        if not asked:
            plant.maud.online(unit, "gate_confirmed", {"gate": "identity", "withdrawn": True})
        asked.append(route.request.url)
        route.continue_()

    page.route("**/now", changed_meanwhile)
    page.goto(f"/sign-off/{unit}")
    expect(identity).to_contain_text("blocked", timeout=15_000)
    page.unroute("**/now", changed_meanwhile)

    plant.lukasz.online(unit, "gate_confirmed", confirming("identity"))
    page.goto(f"/sign-off/{unit}")
    old = page.request.get(f"/sign-off/{unit}").text()
    expect(identity).to_contain_text("holds")
    why = page.get_by_label("Why need it not be waited for?")
    why.fill("Its battery is")

    def lost_once(route):
        lost.append(route.request.url)
        route.abort() if len(lost) == 1 else route.continue_()

    page.route(f"**/sign-off/{unit}", lost_once)
    plant.maud.online(unit, "gate_confirmed", {"gate": "identity", "withdrawn": True})
    expect(identity).to_have_attribute("data-state", "blocked", timeout=25_000)
    expect(identity).to_contain_text("blocked")
    assert len(lost) == 2
    assert why.input_value() == "Its battery is"
    expect(why).to_be_focused()

    page.unroute(f"**/sign-off/{unit}", lost_once)
    page.evaluate(LATE, old)
    assert "blocked" in identity.inner_text()


def clean(page, path):
    page.goto(path)
    expect(page.locator("h1").first).to_be_visible()
    assert [f"{path}: {fault}" for fault in faults_everywhere(page)] == []


def test_every_page_keeps_the_rules_of_wcag_a_manager_refuses_only_with_a_reason_reopens_and_the_next_revision_waits(
    app, plant, client_as, page_as, unit
):
    blocked, closed = plant.unit("118940"), ready(plant, "203377")
    marks = (
        ("scratch", "rear.door_left_upper", {"severity": "S4"}),
        ("swirl", "left.sliding_door_lower", {"size": 300}),
    )
    key = concession(plant, blocked, walked(plant, blocked, *marks)[0])
    clock = plant.journal.clock()
    plant.journal.note("INSERT INTO seen_by VALUES (?, ?, ?, 0, 1)", (plant.lukasz.tablet, blocked, clock - 60_000))
    sign(client_as("ines"), closed)
    issued(app, closed)
    late_marker(plant, closed)

    page = page_as("maud", EMPTY)
    for path in (f"/sign-off/{unit}", f"/sign-off/{blocked}", "/sign-off", "/concessions"):
        clean(page, path)
    page.get_by_role("button", name="Refuse").tap()
    expect(page.locator(".fault")).to_have_text("Say why it is refused.")
    page.get_by_label("Reason, if you refuse").fill("Three minutes with the machine.")
    page.get_by_role("button", name="Refuse").tap()
    expect(page.get_by_text("Nothing waits.")).to_be_visible()
    assert plant.row("concessions", key)["state"] == "refused"

    clean(page, f"/sign-off/{closed}")
    page.get_by_label("Why", exact=True).fill("A chip found at hand-over.")
    page.get_by_role("button", name="Reopen").tap()
    expect(page.locator("[data-gate=marks]")).to_have_attribute("data-state", "blocked")
    expect(page.locator("[data-live=after]")).to_contain_text("Reopened by Maud Esterházy")
