"""The colours against WCAG 2.2 (W3C Recommendation): luminance and contrast ratio as its glossary defines them.

1.4.3 asks 4.5 for text, 1.4.11 asks 3 for what one must see to use a control or read a drawing.
"""

import re
from pathlib import Path

import pytest

TOKENS = Path(__file__).parents[2] / "inspect_app/client/css/tokens.css"

TEXT = [
    (ink, ground)
    for ink, grounds in {
        "ink": "table paper well petrol-soft wax-soft van glass",
        "ink-2": "table paper well petrol-soft",
        "wax": "table paper well wax-soft van petrol-soft",
        "petrol": "table paper well petrol-soft",
        "on-enamel": "enamel",
        "done": "paper van",
    }.items()
    for ground in grounds.split()
]
SHAPES = [
    (mark, ground)
    for mark, grounds in {
        "edge": "table paper well",
        "petrol": "van glass",
        "wax": "glass",
        "van-line": "paper van glass",
        "done": "glass",
        "hatch": "van",
    }.items()
    for ground in grounds.split()
]


def themes() -> dict[str, dict[str, str]]:
    """Each theme's colour tokens as `#rrggbb`, by name."""
    css = re.sub(r"/\*.*?\*/", "", TOKENS.read_text(encoding="utf-8"), flags=re.DOTALL)
    blocks = re.findall(r'\[data-theme="(\w+)"\]\s*\{(.*?)\}', css, flags=re.DOTALL)
    return {name: dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})\s*;", body)) for name, body in blocks}


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`, 0 to 1 (WCAG 2.2, "relative luminance")."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21 (WCAG 2.2, "contrast ratio")."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_ratio_itself_gives_the_published_ends_of_its_scale():
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)  # the grey commonly given as just passing


def test_both_themes_name_the_same_colours():
    found = themes()
    assert set(found) == {"day", "lamp"}
    assert set(found["day"]) == set(found["lamp"])


@pytest.mark.parametrize("theme", ["day", "lamp"])
@pytest.mark.parametrize(("ink", "ground"), TEXT, ids=lambda name: name)
def test_text_stands_out_from_its_ground(theme: str, ink: str, ground: str):
    colours = themes()[theme]

    ratio = contrast(colours[ink], colours[ground])

    assert ratio >= 4.5, f"{ink} on {ground} in {theme} is {ratio:.2f}, 4.5 is asked"


@pytest.mark.parametrize("theme", ["day", "lamp"])
@pytest.mark.parametrize(("mark", "ground"), SHAPES, ids=lambda name: name)
def test_shapes_stand_out_from_their_ground(theme: str, mark: str, ground: str):
    colours = themes()[theme]

    ratio = contrast(colours[mark], colours[ground])

    assert ratio >= 3, f"{mark} on {ground} in {theme} is {ratio:.2f}, 3 is asked"


def test_every_colour_used_in_the_style_files_is_a_token():
    named = set(re.findall(r"--([\w-]+):", TOKENS.read_text(encoding="utf-8")))
    own = {"mark", "halo"}  # set by a rule for itself or its children
    for path in sorted(TOKENS.parent.glob("*.css")):
        text = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        assert set(re.findall(r"var\(--([\w-]+)", text)) <= named | own, path.name
        if path != TOKENS:
            assert not re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[\s;,)])", text), f"{path.name} names a colour of its own"


def test_the_style_files_weigh_42_kib_at_most():
    assert sum(path.stat().st_size for path in TOKENS.parent.glob("*.css")) <= 42 * 1024
