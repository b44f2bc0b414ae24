"""Claims about photos: a tablet that brings a walk with a hundred and twenty, and the cleaning of one from a camera."""

from __future__ import annotations

import io
import subprocess
import sys
from functools import cache, partial
from pathlib import Path

import pyvips
from PIL import Image, ImageFilter

from inspect_app.photos import Cleaned, clean
from sample_units.hands import Hands, new_id
from tests.bench import marks
from tests.bench.measure import Finding, turns
from tests.bench.plant import site
from tests.bench.serve import MARK, ROOT, Line, served

EVENTS, PHOTOS = 400, 120
AT_ONCE = 200  # events in one sync, as client/settings.js has it
ON_TABLET = (2048, 1536)  # px, as a tablet sends them
OF_A_CAMERA = (4000, 3000)
# VmHWM and not ru_maxrss: that of a child begins with what its parent had.
PEAK = """
import sys
from pathlib import Path
from inspect_app.photos import clean
clean(Path(sys.argv[1]).read_bytes())
peak = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM:"))
print(int(peak.split()[1]) * 1024 / 1e6)
"""


@cache
def photo(size: tuple[int, int], quality: int, seed: int = 0) -> bytes:
    """A JPEG with the grain of a lens in it: soft shapes, fine noise."""
    grain = Image.effect_noise(size, 40)
    light = Image.radial_gradient("L").resize(size).rotate(90 * seed)
    bands = Image.blend(light, grain, 0.3), grain.filter(ImageFilter.GaussianBlur(2))
    out = io.BytesIO()
    Image.merge("RGB", (light, *bands)).save(out, "JPEG", quality=quality)
    return out.getvalue()


def marked(picture: bytes) -> bytes:
    """The photo with bytes after its end that no other has, as phones append film clips."""
    return picture + new_id().encode()[-MARK:]


def with_photos(folder: Path, rounds: int = 5, warm: int = 1) -> list[Finding]:
    """A tablet's walk with its photos, against the same bytes sent to routes that only write and commit."""
    picture = photo(ON_TABLET, 80)
    with site(folder) as here:
        tablet = here.tablet("ines")
        loads = []
        for number in range(rounds + warm):
            unit = here.plant.unit()
            walk = tablet.hands.start_walk(unit)
            events, keys = walk_with_photos(tablet.hands, unit, walk, seed=number)
            bodies = [marks.body(tablet, events[at : at + AT_ONCE]) for at in range(0, EVENTS, AT_ONCE)]
            loads.append((bodies, keys))
    with served(folder, "cleaned") as one:
        line = Line(one.port, tablet.headers())

        def bring(sync: str, photos: str, number: int) -> None:
            bodies, keys = loads[number]
            for body in bodies:
                _all_taken(line.post(sync, body))
            for key in keys:
                line.put(f"{photos}/{key}", marked(picture))

        found = turns(partial(bring, "/bench/many", "/bench/photos"), partial(bring, "/sync", "/photos"), rounds=rounds, warm=warm)  # fmt: skip
        line.close()
    what = f"Sync of {EVENTS} events and {PHOTOS} photos of {len(picture) / 1e6:.1f} MB"
    claim = f"{what}, cleaning apart, against routes that only write and commit"
    return [Finding(claim=claim, found=found.ratio, most=2.5)]


def walk_with_photos(hands: Hands, unit: str, walk: str, *, seed: int) -> tuple[list[marks.Event], list[str]]:
    """Events of a walk, three photos in ten, and the photos' ids."""
    rest = marks.walk_of(hands, unit, walk, EVENTS, seed=seed)
    made = [event for event in rest if event["type"] == "marker_made"]
    others = [event for event in rest if event["type"] == "zone_looked"]
    keys = [new_id() for _ in range(PHOTOS)]
    announced = [
        hands.event(unit, "photo_added", {"photo": key, "marker": made[at % len(made)]["body"]["marker"], "role": "found"})
        for at, key in enumerate(keys)
    ]  # fmt: skip
    return [*made, *others[: EVENTS - PHOTOS - len(made)], *announced], keys


def _all_taken(answer: bytes) -> None:
    refused = marks.plain(answer).count(b'"outcome":"refused"')
    if refused:
        raise RuntimeError(f"{refused} events were refused")


def cleaning(folder: Path, rounds: int = 15, warm: int = 2) -> list[Finding]:
    """A camera's photo made anew, against pyvips making files of the same sizes; and the memory it takes."""
    folder.mkdir()
    picture = photo(OF_A_CAMERA, 88)
    told = clean(picture)
    _alike(told, by_vips(picture, told))
    found = turns(lambda _: by_vips(picture, told), lambda _: clean(picture), rounds=rounds, warm=warm)
    raw = folder / "camera.jpg"
    raw.write_bytes(picture)
    peak = subprocess.run([sys.executable, "-c", PEAK, str(raw)], cwd=ROOT, check=True, capture_output=True, text=True)
    what = f"Photo of {OF_A_CAMERA[0] * OF_A_CAMERA[1] / 1e6:.0f} megapixels cleaned into three sizes"
    return [
        Finding(claim=f"{what}, against pyvips making the same files", found=found.ratio, most=1.15),
        Finding(claim=f"{what}, peak memory of a process that does just that", found=float(peak.stdout), unit="MB", most=150),
    ]  # fmt: skip


def by_vips(picture: bytes, told: Cleaned) -> tuple[bytes, bytes, bytes]:
    """The three files by libvips: shrunk while they are read, upright, without metadata, at the same qualities."""
    full = pyvips.Image.thumbnail_buffer(picture, told.width, height=told.height, size="down").copy_memory()
    middle = full.thumbnail_image(600, height=600).copy_memory()
    thumb = middle.thumbnail_image(160, height=160)
    sizes = ((full, 86), (middle, 82), (thumb, 78))
    full, middle, thumb = (one.jpegsave_buffer(Q=quality, optimize_coding=True, keep="none") for one, quality in sizes)
    return full, middle, thumb


def _alike(told: Cleaned, others: tuple[bytes, bytes, bytes]) -> None:
    for ours, theirs in zip((told.full, told.middle, told.thumb), others, strict=True):
        sizes = [Image.open(io.BytesIO(content)).size for content in (ours, theirs)]
        if sizes[0] != sizes[1]:
            raise RuntimeError(f"the two do not make the same pictures: {sizes}")
