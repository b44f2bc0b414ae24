"""Drawings, photos and signatures for invented sheets."""

import io
import random
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

from inspect_app.sheet.data import Signature

START = int(datetime(2026, 11, 23, 8, 0, tzinfo=UTC).timestamp() * 1000)
MINUTE = 60_000
VIEWS = (
    ("left", "Left side", 5950, 2800, "left"),
    ("right", "Right side", 5950, 2800, "right"),
    ("front", "Front", 2060, 2800, "front"),
    ("rear", "Rear", 2060, 2800, "rear"),
    ("roof", "Roof", 5950, 2060, "left"),
)


def box(width: int, height: int) -> list[dict]:
    """Return a plain box with a window, enough of a drawing to be placed, scaled and read back."""
    return [
        {
            "class": "body",
            "d": f"M 0 {height - 350} L 0 900 C 0 300 300 0 700 0 L {width} 0 L {width} {height - 350} Z",
        },
        {
            "class": "glass",
            "d": f"M {width * 0.15:.0f} 900 L {width * 0.3:.0f} 450 L {width * 0.5:.0f} 450 L {width * 0.5:.0f} 900 Z",
        },
        {"class": "thin", "d": f"M 200 1300 L {width - 200} 1300"},
    ]


def outline() -> dict:
    """Return an outline of the agreed shape with five drawn views and two that are lists."""
    drawn = [
        {
            "id": key,
            "label": label,
            "width": wide,
            "height": high,
            "nose": nose,
            "listed": False,
            "art": box(wide, high),
            "zones": [],
            "joints": [],
        }
        for key, label, wide, high, nose in VIEWS
    ]
    listed = [
        {
            "id": key,
            "label": label,
            "width": 0,
            "height": 0,
            "nose": "",
            "listed": True,
            "art": [],
            "zones": [],
            "joints": [],
        }
        for key, label in (("openings", "Openings"), ("inside", "Inside"))
    ]
    return {"id": "box", "label": "A box on wheels", "hash": "0" * 64, "views": drawn + listed, "parts": {}}


def picture(path: Path, seed: int, size: tuple[int, int] = (600, 450)) -> Path:
    """Write a plausible close look at painted sheet metal: a soft reflection, a shut line, a flaw."""
    path.write_bytes(_picture(seed, size))
    return path


@cache
def _picture(seed: int, size: tuple[int, int]) -> bytes:
    rng = random.Random(seed)
    wide, high = size
    base = tuple(rng.randint(40, 200) for _ in range(3))
    ramp = Image.linear_gradient("L").resize(size).rotate(rng.choice((0, 90, 180, 270)))
    image = Image.composite(
        Image.new("RGB", size, tuple(min(255, c + 60) for c in base)), Image.new("RGB", size, base), ramp
    )
    draw = ImageDraw.Draw(image)
    x = rng.randint(80, wide - 80)
    draw.polygon([(x, 0), (x + 60, 0), (x + 10, high), (x - 40, high)], fill=tuple(min(255, c + 85) for c in base))
    image = image.filter(ImageFilter.GaussianBlur(12))
    draw = ImageDraw.Draw(image)
    draw.line([(0, high * 0.8), (wide, high * 0.74)], fill=tuple(c // 3 for c in base), width=4)
    fx, fy = rng.randint(150, wide - 150), rng.randint(100, high - 150)
    draw.ellipse([fx - 6, fy - 5, fx + 6, fy + 5], fill=tuple(c // 2 for c in base))
    noise = Image.frombytes("L", size, rng.randbytes(wide * high)).convert("RGB")
    image = Image.blend(image, noise, 0.06)
    written = io.BytesIO()
    image.save(written, "JPEG", quality=82)
    return written.getvalue()


def signature(person: str, role: str, minute: int, seed: int) -> Signature:
    """Return strokes as a finger draws them on the pad."""
    rng = random.Random(seed)
    strokes, x = [], 60.0
    for _ in range(3):
        stroke = []
        for _ in range(14):
            x += rng.uniform(6, 22)
            stroke.append((x, 500 + rng.uniform(-330, 330)))
        strokes.append(tuple(stroke))
    return Signature(person=person, role=role, at=START + minute * MINUTE, strokes=tuple(strokes))
