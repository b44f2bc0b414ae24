"""The claim about a busy shift: fifty tablets for two minutes, nothing lost or doubled, quick answers, memory that stays."""

from __future__ import annotations

import io
import random
import statistics
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from PIL import Image, ImageDraw

from inspect_app.journal import store
from inspect_app.journal.verify import verify
from sample_units.hands import new_id
from tests.bench import marks
from tests.bench.measure import Finding, p95
from tests.bench.photographs import ON_TABLET, photo
from tests.bench.plant import Site, Tablet, site
from tests.bench.serve import Line, Served, served

TABLETS = 50
LASTS_S = 120
EVERY_S = 5  # a marker, and a poll; client/settings.js polls as often
PHOTO_EVERY_S = 60
ALONE, ALONE_EVERY_S = 60, 0.25
AGAIN = 10  # one sync in so many is sent a second time, as after an answer that was lost
CLAIM = f"{TABLETS} tablets for {LASTS_S // 60} minutes, each a marker and a poll every {EVERY_S} s, a photo a minute"


@dataclass
class Load:
    """What one tablet is going to send, and what became of it."""

    tablet: Tablet
    unit: str
    markers: Sequence[bytes]
    photos: Sequence[tuple[bytes, str, bytes]]  # the sync that announces it, its id, the picture
    took: list[float] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)


def busy_shift(folder: Path) -> list[Finding]:
    """Fifty tablets at work at once, against one of them alone on the same server."""
    with site(folder) as here:
        alone = _load(here, ALONE, 4, 0)
        loads = [_load(here, LASTS_S // EVERY_S, LASTS_S // PHOTO_EVERY_S, seed) for seed in range(1, TABLETS + 1)]
    sent = [alone, *loads]
    with served(folder) as one:
        calm = _by_itself(one, alone)
        memory = _all_at_once(one, loads)
    faults = [fault for load in sent for fault in load.faults]
    if faults:
        raise RuntimeError(f"{len(faults)} requests were not answered: {faults[0]}")
    third = len(memory) // 3
    grown = statistics.median(memory[-third:]) / statistics.median(memory[:third])
    took = [seconds for load in loads for seconds in load.took]
    return [
        Finding(claim=f"{CLAIM}: 95th percentile of a sync, against the median of one alone", found=p95(took) / statistics.median(calm), most=3),
        Finding(claim="One tablet alone there: 95th percentile of a sync, against its own median", found=p95(calm) / statistics.median(calm)),
        Finding(claim=f"{CLAIM}: events and photos lost or doubled", found=_astray(folder, sent), unit="", most=0),
        Finding(claim=f"{CLAIM}: memory of the server, last third against first", found=grown, most=1.1),
    ]  # fmt: skip


def _load(here: Site, markers: int, photos: int, seed: int) -> Load:
    tablet, unit = here.tablet("ines"), here.plant.unit()
    walk = tablet.hands.start_walk(unit)
    made = marks.markers(tablet.hands, unit, walk, markers, seed=seed)
    pictures = []
    for number in range(photos):
        body = {"photo": new_id(), "marker": made[number]["body"]["marker"], "role": "found"}
        announced = marks.body(tablet, [tablet.hands.event(unit, "photo_added", body)])
        pictures.append((announced, body["photo"], _numbered(100 * seed + number)))
    return Load(tablet, unit, [marks.body(tablet, [event]) for event in made], pictures)


def _numbered(number: int) -> bytes:
    """A photo like any other, but for its number, so that each is another one to keep."""
    with Image.open(io.BytesIO(photo(ON_TABLET, 80))) as picture:
        ImageDraw.Draw(picture).text((60, 60), str(number), font_size=90)
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=80)
    return out.getvalue()


def _by_itself(one: Served, load: Load) -> list[float]:
    """Seconds of each sync of a single tablet; its photos come first, so that the server has cleaned some."""
    line, took = Line(one.port, load.tablet.headers()), []
    _sync(line, load.markers[0])
    for content in load.markers[1 : len(load.photos)]:
        _sync(line, content)
    for picture in load.photos:
        _send_photo(line, picture)
    for content in load.markers[len(load.photos) :]:
        time.sleep(ALONE_EVERY_S)
        took.append(_sync(line, content))
    line.close()
    return took


def _all_at_once(one: Served, loads: Sequence[Load]) -> list[float]:
    """Let all tablets work, each on connections of its own; the server's memory at every second."""
    start = time.monotonic() + 1
    threads = [threading.Thread(target=_work, args=(one, load, start, n)) for n, load in enumerate(loads)]
    for thread in threads:
        thread.start()
    memory = []
    while any(thread.is_alive() for thread in threads):
        time.sleep(1)
        memory.append(one.memory())
    return memory


def _work(one: Served, load: Load, start: float, seed: int) -> None:
    """Do what one tablet does: markers and polls on one connection, photos on another, as a browser sends them."""
    pace = random.Random(seed)
    photos = threading.Thread(target=_photograph, args=(one, load, start + pace.uniform(EVERY_S, PHOTO_EVERY_S)))
    photos.start()
    try:
        line, since = Line(one.port, load.tablet.headers()), 0
        at = start + pace.uniform(0, EVERY_S)
        for number, content in enumerate(load.markers):
            _wait_until(at + number * EVERY_S)
            load.took.append(_sync(line, content))
            if pace.randrange(AGAIN) == 0:
                load.took.append(_sync(line, content))
            _wait_until(at + number * EVERY_S + EVERY_S / 2)
            since = marks.newest(line.get(f"/changes?since={since}&unit={load.unit}"))
        line.close()
    except Exception as error:  # told by the one who started the thread
        load.faults.append(repr(error))
    photos.join()


def _photograph(one: Served, load: Load, at: float) -> None:
    try:
        for number, picture in enumerate(load.photos):
            _wait_until(at + number * PHOTO_EVERY_S)
            line = Line(one.port, load.tablet.headers())  # the server has closed the last one meanwhile
            _send_photo(line, picture)
            line.close()
    except Exception as error:  # told by the one who started the thread
        load.faults.append(repr(error))


def _wait_until(moment: float) -> None:
    time.sleep(max(0.0, moment - time.monotonic()))


def _sync(line: Line, content: bytes) -> float:
    start = time.perf_counter()
    answer = line.post("/sync", content)
    took = time.perf_counter() - start
    if marks.plain(answer).count(b'"outcome":"applied"') != 1:
        raise RuntimeError(f"not applied: {marks.plain(answer)[:300]!r}")
    return took


def _send_photo(line: Line, picture: tuple[bytes, str, bytes]) -> None:
    announced, key, content = picture
    _sync(line, announced)
    line.put(f"/photos/{key}", content)


def _astray(folder: Path, loads: Sequence[Load]) -> int:
    """How many events and photos are not there exactly once; the chains must be whole too."""
    told = verify(folder)
    if not told.clean:
        raise RuntimeError(told.sentence)
    db = store.connect(folder / "lampwalk.db", readonly=True)
    units = [load.unit for load in loads]
    asked = f"unit IN ({', '.join('?' * len(units))})"
    markers = db.execute(f"SELECT count(*) FROM markers WHERE {asked}", units).fetchone()[0]
    photos = db.execute(f"SELECT count(*) FROM photos WHERE state = 'stored' AND {asked}", units).fetchone()[0]
    bodies = (content for load in loads for content in (*load.markers, *(one[0] for one in load.photos)))
    ids = [key for content in bodies for key in marks.ids(content)]
    kept = db.execute("SELECT count(*) FROM events WHERE type IN ('marker_made', 'photo_added')").fetchone()[0]
    there = sum(db.execute("SELECT count(*) FROM events WHERE id = ?", (key,)).fetchone()[0] for key in ids)
    db.close()
    wanted = sum(len(load.markers) for load in loads), sum(len(load.photos) for load in loads)
    return abs(markers - wanted[0]) + abs(photos - wanted[1]) + abs(there - sum(wanted)) + abs(kept - sum(wanted))
