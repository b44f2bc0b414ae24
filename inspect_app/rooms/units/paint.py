"""A colour to show for the name of a paint. Invented: paint is matched by code and by eye, never by this."""

from __future__ import annotations

import re

GREY = "#8a8f94"
WORDS = {
    "white": "#eceae2",
    "ivory": "#e8e0c8",
    "cream": "#e6dcc0",
    "black": "#1b1d1f",
    "anthracite": "#34383c",
    "slate": "#4a5055",
    "graphite": "#3f4448",
    "grey": "#7c868c",
    "gray": "#7c868c",
    "silver": "#b4bbbf",
    "red": "#a3201e",
    "wine": "#5e1a26",
    "maroon": "#5a1d22",
    "orange": "#cf5a1c",
    "copper": "#9a5a35",
    "bronze": "#77603c",
    "brown": "#5a4233",
    "sand": "#c8b58f",
    "beige": "#c9bda2",
    "yellow": "#d9b01e",
    "gold": "#a98d4c",
    "green": "#2f5a45",
    "olive": "#5b5f3a",
    "mint": "#9cc3ae",
    "turquoise": "#2f8a8c",
    "petrol": "#1f4f5c",
    "blue": "#27457a",
    "violet": "#4d3b6b",
    "purple": "#563863",
    "pink": "#c98a99",
}
SHADES = {"night": 0.55, "deep": 0.7, "dark": 0.65, "midnight": 0.5, "light": 1.35, "pale": 1.45, "ice": 1.5}


def colour_hex(name: str) -> str:
    """Return `#rrggbb` for a colour's name by the last colour word in it; a neutral grey where there is none."""
    words = re.findall(r"[^\W\d_]+", name.casefold())
    found = next((WORDS[word] for word in reversed(words) if word in WORDS), GREY)
    shade = next((SHADES[word] for word in words if word in SHADES), 1.0)
    parts = [min(235, round(int(found[at : at + 2], 16) * shade)) for at in (1, 3, 5)]
    return found if shade == 1.0 else "#{:02x}{:02x}{:02x}".format(*parts)
