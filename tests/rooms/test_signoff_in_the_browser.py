"""The sign-off by touch, by keyboard and to a screen reader's rules, in a real browser."""

import io
import re

import pytest
from accessible import at_each_size, faults_everywhere
from playwright.sync_api import expect
from pypdf import PdfReader
from signed_units import PIN, concession, issued, late_marker, ready, sheet_file, sign, walked

from sample_units.hands import confirming

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


def pin(page):
    """Tap the PIN on the big keys."""
    for digit in PIN:
        page.locator(f'[data-key="{digit}"]').tap()


def signed(page):
    expect(page.locator("[data-gate=release]")).to_contain_text("as revision A")


def test_a_unit_whose_gates_hold_is_signed_by_signature_pin_and_one_tap(app, plant, page_as, unit):
    page = page_as("ines", f"/sign-off/{unit}")
    button = page.locator("#sign-now")
    expect(page.locator("#sign-why")).to_have_text("Sign in the box.")

    draw(page, *NAME)
    pin(page)
    expect(page.locator("#sign-why")).to_have_text("Everything holds.")
    button.tap()

    signed(page)
    expect(page.get_by_role("link", name="Open A4")).to_be_visible(timeout=60_000)
    strokes = app_strokes(app, unit)
    assert len(strokes) == 2
    assert all(0 <= value <= 1000 for stroke in strokes for point in stroke for value in point)
    assert 60 < strokes[0][0][0] < 140  # a tenth of the pad's width from its left edge


def app_strokes(app, unit):
    from inspect_app.journal.queries.sheets import as_signed

    return as_signed(app.extensions["lampwalk"].journal.read(), unit, "A").strokes


def test_the_signature_survives_a_head_that_moved_and_the_second_press_signs(plant, page_as, unit):
    page = page_as("ines", f"/sign-off/{unit}")
    draw(page, *NAME)
    pin(page)
    page.route("**/now", lambda route: route.abort())  # the page has not heard of it yet
    marker = plant.rows("markers", unit)[0]["id"]
    plant.lukasz.do(unit, "origin_revised", {"marker": marker, "origin": "trim"})

    page.locator("#sign-now").tap()

    expect(page.locator("#sign-why")).to_contain_text("Something has happened to this unit")
    assert page.locator("[data-pad] path").count() == 2
    page.locator("#sign-now").tap()
    signed(page)


def test_a_signature_outlasts_a_wrong_pin_and_a_turned_tablet_is_undone_and_cleared_and_a_stylus_draws_beside_the_palm(
    page_as, unit
):
    page = page_as("ines", f"/sign-off/{unit}")
    draw(page, *NAME)
    for digit in "9137":
        page.locator(f'[data-key="{digit}"]').tap()
    page.locator("#sign-now").tap()
    expect(page.locator("#sign-why")).to_contain_text("not the PIN of this name")
    assert page.locator("#sign-pin").input_value() == ""
    assert page.locator("[data-pad] path").count() == 2

    before = page.locator("[data-pad] path").first.get_attribute("d")
    page.set_viewport_size({"width": 744, "height": 1133})
    assert page.locator("[data-pad] path").first.get_attribute("d") == before
    page.locator("[data-pad-undo]").tap()
    assert page.locator("[data-pad] path").count() == 1
    page.locator("[data-pad-clear]").tap()
    assert page.locator("[data-pad] path").count() == 0

    page.locator("[data-pad] svg").scroll_into_view_if_needed()
    assert page.evaluate(PEN_AND_PALM) == 1


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


@pytest.mark.parametrize("name", ["Ines Okafor", "Дмитро Савчук", "Nguyễn Thị Ánh"])
def test_whoever_cannot_draw_types_the_name_and_signs_by_keyboard_alone(app, page_as, unit, name):
    page = page_as("ines", f"/sign-off/{unit}")
    page.locator("[data-pad-type]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#typed-name")).to_be_focused()
    page.keyboard.type(name)
    page.locator("#sign-pin").focus()
    page.keyboard.type(PIN)
    page.keyboard.press("Enter")

    signed(page)
    told = PdfReader(io.BytesIO(sheet_file(app, issued(app, unit)).read_bytes())).pages[0].extract_text()
    assert "typed name" in told
    assert len(app_strokes(app, unit)) >= len(name.replace(" ", "")) - 2  # joined letters share a contour


def test_identity_is_confirmed_in_one_tap_or_by_keyboard_and_what_was_drawn_stays(plant, page_as):
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

    other = plant.unit("203655")
    walked(plant, other)
    page.goto(f"/sign-off/{other}")
    page.get_by_role("button", name="They agree with the van").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-gate=identity]")).to_have_attribute("data-state", "held")
    expect(page.locator("#gate-identity")).to_be_focused()


def test_an_inspector_asks_for_a_concession_and_a_manager_agrees_on_the_same_page(plant, page_as):
    unit = plant.unit()
    marker = walked(plant, unit, ("scratch", "rear.door_left_upper", {"severity": "S4"}))[0]
    page = page_as("ines", f"/sign-off/{unit}")
    ring = page.locator(f'[data-marker="{marker}"] .ring-hit').bounding_box()
    page.touchscreen.tap(ring["x"] + ring["width"] / 2, ring["y"] + ring["height"] / 2)
    page.get_by_role("button", name="Ask for a concession").tap()
    page.get_by_role("button", name="Ask", exact=True).tap()
    expect(page.get_by_role("dialog")).to_contain_text("Say why it may stay as it is.")
    page.get_by_label("Why may it stay as it is?").fill("Only seen from below.")
    page.get_by_label("Who agreed for the customer?").fill("Mr Holm")
    page.get_by_role("button", name="Ask", exact=True).tap()
    expect(page.locator("[data-about=concession]")).to_contain_text("Mr Holm, by telephone")

    manager = page_as("maud", f"/sign-off/{unit}")
    manager.get_by_role("button", name="Agree", exact=True).tap()

    expect(manager.locator("[data-gate=marks]")).to_have_attribute("data-state", "held")
    assert plant.row("markers", marker)["state"] == "conceded"


def test_a_manager_refuses_on_the_list_only_with_a_reason(plant, page_as):
    unit = plant.unit()
    marker = walked(plant, unit, ("scratch", "rear.door_left_upper", {"severity": "S4"}))[0]
    key = concession(plant, unit, marker)
    page = page_as("maud", "/concessions")

    page.get_by_role("button", name="Refuse").tap()
    expect(page.locator(".fault")).to_have_text("Say why it is refused.")
    page.get_by_label("Reason, if you refuse").fill("Three minutes with the machine.")
    page.get_by_role("button", name="Refuse").tap()

    expect(page.get_by_text("Nothing waits.")).to_be_visible()
    assert plant.row("concessions", key)["state"] == "refused"


def test_another_tablets_news_reaches_the_open_page_and_leaves_what_is_being_typed(plant, page_as, unit):
    clock = plant.journal.clock()
    plant.journal.note("INSERT INTO seen_by VALUES (?, ?, ?, 0, 1)", (plant.lukasz.tablet, unit, clock - 60_000))
    page = page_as("ines", f"/sign-off/{unit}")
    why = page.get_by_label("Why need it not be waited for?")
    why.fill("Its battery is")

    plant.maud.online(unit, "gate_confirmed", {"gate": "identity", "withdrawn": True})

    expect(page.locator("[data-gate=identity]")).to_have_attribute("data-state", "blocked", timeout=15_000)
    assert why.input_value() == "Its battery is"
    expect(why).to_be_focused()


def test_a_manager_reopens_and_the_next_revision_waits(app, plant, client_as, page_as, unit):
    sign(client_as("ines"), unit)
    late_marker(plant, unit)
    page = page_as("maud", f"/sign-off/{unit}")
    page.get_by_label("Why", exact=True).fill("A chip found at hand-over.")

    page.get_by_role("button", name="Reopen").tap()

    expect(page.locator("[data-gate=marks]")).to_have_attribute("data-state", "blocked")
    expect(page.locator("[data-live=after]")).to_contain_text("Reopened by Maud Esterházy")


def test_while_the_server_is_away_the_page_says_so_and_keeps_what_was_drawn(page_as, unit):
    page = page_as("ines", f"/sign-off/{unit}")
    draw(page, *NAME)
    pin(page)

    page.context.set_offline(True)
    expect(page.locator("#sign-why")).to_contain_text("out of reach", timeout=15_000)
    expect(page.locator("#sign-now")).to_be_disabled()
    page.context.set_offline(False)

    expect(page.locator("#sign-why")).to_have_text("Everything holds.", timeout=15_000)
    page.locator("#sign-now").tap()
    signed(page)


def test_a_technician_sees_the_gates_and_no_place_to_sign(page_as, unit):
    page = page_as("per", f"/sign-off/{unit}")

    expect(page.locator("[data-gate=marks]")).to_contain_text("2 made: 2 cleared")
    expect(page.get_by_text("An inspector signs this unit.")).to_be_visible()
    assert page.locator("[data-pad]").count() == 0


def test_what_changed_between_the_page_and_its_first_question_is_seen(plant, page_as, unit):
    page = page_as("lukasz", "/sign-off")
    asked = []

    def confirm_meanwhile(route):
        if not asked:
            plant.ines.online(unit, "gate_confirmed", {"gate": "identity", "withdrawn": True})
        asked.append(route.request.url)
        route.continue_()

    page.route("**/now", confirm_meanwhile)
    page.goto(f"/sign-off/{unit}")
    expect(page.locator("[data-gate=identity]")).to_contain_text("blocked", timeout=15_000)


def test_news_that_could_not_be_read_is_asked_for_again_and_a_reading_that_comes_late_undoes_no_later_one(
    plant, page_as, unit
):
    page = page_as("lukasz", f"/sign-off/{unit}")
    old = page.request.get(f"/sign-off/{unit}").text()
    expect(page.locator("[data-gate=identity]")).to_contain_text("holds")
    lost = []

    def once(route):
        lost.append(route.request.url)
        route.abort() if len(lost) == 1 else route.continue_()

    page.route(f"**/sign-off/{unit}", once)
    plant.ines.online(unit, "gate_confirmed", {"gate": "identity", "withdrawn": True})
    expect(page.locator("[data-gate=identity]")).to_contain_text("blocked", timeout=25_000)
    assert len(lost) == 2

    page.unroute(f"**/sign-off/{unit}", once)
    script = """async (old) => {
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
    page.evaluate(script, old)
    assert "blocked" in page.locator("[data-gate=identity]").inner_text()


def test_every_page_of_the_sign_off_keeps_the_rules_of_wcag(app, plant, client_as, page_as, unit):
    blocked, closed = plant.unit("118940"), ready(plant, "203377")
    marks = (
        ("scratch", "rear.door_left_upper", {"severity": "S4"}),
        ("swirl", "left.sliding_door_lower", {"size": 300}),
    )
    concession(plant, blocked, walked(plant, blocked, *marks)[0])
    clock = plant.journal.clock()
    plant.journal.note("INSERT INTO seen_by VALUES (?, ?, ?, 0, 1)", (plant.lukasz.tablet, blocked, clock - 60_000))
    sign(client_as("ines"), closed)
    issued(app, closed)
    late_marker(plant, closed)

    page = page_as("maud")
    for path in (f"/sign-off/{unit}", f"/sign-off/{blocked}", f"/sign-off/{closed}", "/sign-off", "/concessions"):
        page.goto(path)
        expect(page.locator("h1").first).to_be_visible()
        assert [f"{path}: {fault}" for fault in faults_everywhere(page)] == []


def test_all_one_touches_is_48_px_nothing_scrolls_sideways_and_a_tablet_shows_pad_pin_and_button_together(
    page_as, unit
):
    page = page_as("ines", f"/sign-off/{unit}")
    expect(page.locator("#sign-why")).not_to_be_empty()

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


def test_the_van_shows_every_view_and_lists_what_lies_in_the_openings(plant, page_as):
    unit = plant.unit()
    walked(plant, unit, ("swirl", "right.cab_door_lower", {"size": 300}), ("residue", "openings.rear_doors", {}))
    page = page_as("ines", f"/sign-off/{unit}")

    expect(page.locator("#van")).to_have_attribute("aria-label", re.compile("Right side: 1 ring, 1 not decided"))
    page.get_by_role("button", name="Openings 1").tap()
    page.get_by_role("button", name=re.compile("B2 ")).tap()

    expect(page.locator("#chosen-mark")).to_contain_text("rear door shuts")
