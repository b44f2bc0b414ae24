"""The van of docs/tutorial.md: from a line of a list to its signed sheet by touch, with a picture of each step."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

LIST = Path(__file__).with_name("arrivals.csv")
LAST_SIX = "310455"
SPOT = """([zone, x, y]) => {
  const box = document.querySelector(`#van [data-zone="${zone}"]`).getBoundingClientRect();
  return [box.x + box.width * x, box.y + box.height * y];
}"""
NAME = (
    ((0.10, 0.72), (0.17, 0.22), (0.21, 0.20), (0.22, 0.45), (0.19, 0.78)),
    ((0.30, 0.70), (0.34, 0.45), (0.40, 0.42), (0.42, 0.70), (0.50, 0.48), (0.55, 0.46), (0.57, 0.70)),
    ((0.62, 0.60), (0.70, 0.50), (0.66, 0.44), (0.62, 0.66), (0.72, 0.72), (0.88, 0.58)),
)
SETTLE = 900  # ms: long enough for a picture to hold what the tap has done

Keep = Callable[[Any, str], None]
Open = Callable[[str, str], Any]
Rest = Callable[[str], None]
ENOUGH = 12  # zones looked at by touch where somebody looks at the rest


def follow(open_page: Open, keep: Keep, rest: Rest | None = None) -> bytes:
    """Take the van through to its PDF; `open_page(who, path)` gives a page, `keep(page, name)` takes a picture.

    `rest(unit)`, where given, looks at what the walk still lacks after the first zones, on the inspector's other tablet
    """
    _import(open_page("Maud", "/setup/units/import"), keep)
    unit = _walk(open_page("Ines", "/"), keep, rest)
    _rework(open_page("Per", "/rework"), keep)
    _look_again(open_page("Łukasz", f"/again/{unit}"), keep)
    return _sign(open_page("Ines", f"/sign-off/{unit}"), unit, keep)


def _import(page: Any, keep: Keep) -> None:
    page.locator("input[type=file]").set_input_files(LIST)
    page.get_by_role("button", name="Import").tap()
    page.get_by_text("12 units").first.wait_for()
    keep(page, "import")
    page.context.close()


def _walk(page: Any, keep: Keep, rest: Rest | None) -> str:
    for digit in LAST_SIX:
        page.locator(".find-pad .key").get_by_text(digit, exact=True).first.tap()
    keep(page, "find")
    page.locator(".found a").first.tap()
    page.wait_for_url("**/walk/**")
    unit = str(page.url).rsplit("/", 1)[-1].split("?")[0]
    keep(page, "begin")
    page.tap("[data-purpose=first]")
    page.locator("#foot").wait_for()
    page.tap("#rail [data-view=left]")
    _touch(page, "left.sliding_door_lower", 0.3, 0.35)
    keep(page, "kinds")
    page.tap("#dock [data-kind=nib]")
    keep(page, "kept")
    page.tap("#kept [data-key='size-3']")
    page.tap("#kept [data-key=accept]")
    _touch(page, "left.cab_door_lower", 0.5, 0.4)
    page.tap("#dock .kind-more")
    page.tap("dialog [data-kind=scratch]")
    page.tap("#kept [data-key='size-300']")
    keep(page, "size")
    _look(page, 400 if rest is None else ENOUGH)
    if rest is not None:
        _sent(page)
        rest(unit)
    _finish(page, keep)
    page.context.close()
    return unit


def _touch(page: Any, zone: str, x: float, y: float) -> None:
    page.wait_for_timeout(SETTLE)
    page.touchscreen.tap(*page.evaluate(SPOT, [zone, x, y]))
    page.wait_for_timeout(SETTLE)


def _look(page: Any, most: int) -> None:
    for _ in range(most):
        if page.inner_text("#go").startswith("Finish"):
            break
        looked = page.inner_text("[data-looked]")
        page.tap("#go")
        page.wait_for_function(
            "(before) => document.querySelector('#go').innerText.startsWith('Finish')"
            " || document.querySelector('[data-looked]').innerText !== before",
            arg=looked,
        )


def _finish(page: Any, keep: Keep) -> None:
    page.wait_for_function("() => document.querySelector('#go').innerText.startsWith('Finish')")
    page.tap("#go")
    page.tap("dialog .btn-main")
    page.get_by_text("The walk is finished").last.wait_for()
    _sent(page)
    keep(page, "finished")


def _sent(page: Any) -> None:
    page.wait_for_timeout(SETTLE)  # what was kept this moment is not counted yet
    page.wait_for_function("() => document.querySelector('[data-sent]').innerText === 'All sent'")


def _rework(page: Any, keep: Keep) -> None:
    line = page.locator(".job-line", has_text=LAST_SIX[3:]).first
    line.scroll_into_view_if_needed()
    line.tap()
    page.wait_for_timeout(SETTLE)
    while not page.locator("[data-act=take]").count():
        page.evaluate("() => document.querySelector('[data-act=read]')?.click()")
        page.wait_for_timeout(SETTLE)
    keep(page, "job")
    page.tap("[data-act=take]")
    page.tap("[data-act=done]")
    page.locator("dialog [data-value='20'], dialog [data-value='15'], dialog [data-value]").first.tap()
    keep(page, "done")
    page.tap("dialog .dialog-foot .btn-main")
    page.locator("[data-part=says]", has_text="waits for its second look").wait_for()
    _sent(page)
    page.context.close()


def _look_again(page: Any, keep: Keep) -> None:
    page.locator("#pane .marker-line").first.tap()
    page.wait_for_timeout(SETTLE)
    keep(page, "ring")
    page.locator("[data-act=clear]").tap()
    looks = page.get_by_role("button", name="Nothing found")
    page.wait_for_timeout(SETTLE)
    for _ in range(looks.count()):
        looks.first.tap()
        page.wait_for_timeout(SETTLE)
    page.locator("[data-act=finish]").tap()
    page.get_by_text("The second look is finished").first.wait_for()
    _sent(page)
    page.context.close()


def _sign(page: Any, unit: str, keep: Keep) -> bytes:
    page.get_by_role("button", name="They agree with the van").tap()
    page.locator("[data-gate=identity]", has_text="holds").wait_for()
    for gate in ("parts", "water"):
        page.locator(f"[data-confirm={gate}]").tap()
        page.locator(f"[data-gate={gate}]", has_text="holds").wait_for()
    _draw(page)
    for digit in "1470":
        page.locator(f'[data-key="{digit}"]').tap()
    page.locator("[data-pad]").scroll_into_view_if_needed()
    keep(page, "sign")
    page.locator("#sign-now").tap()
    page.get_by_role("link", name="Open").wait_for(timeout=120_000)
    keep(page, "signed")
    pdf = bytes(page.context.request.get(f"/sheets/{unit}/A.pdf").body())
    page.context.close()
    return pdf


def _draw(page: Any) -> None:
    pad = page.locator("[data-pad] svg")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    finger = page.context.new_cdp_session(page)
    for stroke in NAME:
        points = [{"x": box["x"] + x * box["width"], "y": box["y"] + y * box["height"]} for x, y in stroke]
        finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": points[:1]})
        for point in points[1:]:
            finger.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [point]})
        finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def first_page(pdf: bytes) -> bytes:
    """The first page of a PDF as PNG, by poppler's pdftoppm."""
    command = ["pdftoppm", "-png", "-r", "80", "-f", "1", "-l", "1", "-singlefile", "-"]
    return subprocess.run(command, input=pdf, capture_output=True, check=True).stdout  # noqa: S603
