"""The claim about size: pages that show the same rows take as long with 300,000 markers in the store as with 12,000."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path

from tests.bench import units
from tests.bench.growth import grow
from tests.bench.measure import Finding, turns
from tests.bench.plant import Site, Tablet, site
from tests.bench.serve import Line, server

SMALL, LARGE = 12_000, 300_000
IN_STORE = 60  # markers of the unit that is copied
SOUGHT, BUILT = "918273", "SOUGHT-1"  # of one unit that waits
Asked = tuple[Line, tuple[str, ...]]
ON_THE_FLOOR = (
    (8, 0),
    (8, 12),
    (8, 12),
    (4, 12),
)  # units to walk, under way, in rework, to look at again; markers each


def with_years_behind(folder: Path) -> list[Finding]:
    """Floor, rework and walk with the data they load, the list of units and searches in it, each at both sizes."""
    filled = {markers: _filled(folder / str(markers), markers) for markers in (SMALL, LARGE)}
    with ExitStack() as open_ones:
        ports = {markers: open_ones.enter_context(server(folder / str(markers))) for markers in filled}

        def opened(markers: int, name: str) -> Asked:
            """A fresh connection for each page: one that waits for its turn too long is hung up."""
            paths, tablets = filled[markers]
            who, asked = paths[name]
            return Line(ports[markers], _read(tablets[who])), asked

        return [_compared(name, opened(SMALL, name), opened(LARGE, name)) for name in filled[SMALL][0]]


def _compared(name: str, small: Asked, large: Asked) -> Finding:
    lengths = [_load(asked) for asked in (small, large)]
    if abs(lengths[0] - lengths[1]) > 0.05 * lengths[0]:
        raise RuntimeError(f"{name}: the two stores do not show the same rows ({lengths[0]} and {lengths[1]} bytes)")
    found = turns(lambda _: _load(small), lambda _: _load(large), rounds=40, warm=5)
    return Finding(claim=f"{name}: {LARGE:,} against {SMALL:,} markers in the store", found=found.ratio, most=1.3)


def _load(asked: Asked) -> int:
    """Read a page and its data; return how many bytes came."""
    line, paths = asked
    return sum(len(line.get(path)) for path in paths)


def _read(tablet: Tablet) -> dict[str, str]:
    return {"Cookie": tablet.cookie, "Accept-Encoding": "gzip", "Accept": "text/html,application/json"}


def _filled(folder: Path, markers: int) -> tuple[dict[str, tuple[str, tuple[str, ...]]], dict[str, Tablet]]:
    """Fill a folder; return which page loads what, as whom, and the tablets."""
    with site(folder) as here:
        old = units.signed(here, IN_STORE)
        told = {"revision": "A", "a4": "0" * 64, "letter": "0" * 64, "bytes": 1}
        here.journal.record_server(f"unit:{old}", "sheet_issued", told)
        grow(folder, old, markers)
        unit = _floor(here)
        tablets = {key: here.tablet(key) for key in ("maud", "per", "ines")}
    paths = {
        "Floor": ("maud", ("/",)),
        "Rework and its data": ("per", ("/rework", "/changes?since=0")),
        "Walk and its data": ("ines", (f"/walk/{unit}", f"/changes?since=0&unit={unit}")),
        "Open units of a make that are due": ("maud", ("/units?make=Brennach&due=week",)),
        "Second page of all units": ("maud", ("/units?show=all&page=2",)),
        "Search by last six": ("per", (f"/units/find?last6={SOUGHT}",)),
        "Search by a part of the build number": ("maud", (f"/units?q={BUILT}",)),
    }
    return paths, tablets


def _floor(here: Site) -> str:
    """Put the open units on the floor; return one that is being walked."""
    (waiting, _), (walking, seen), (working, marked), (done, healed) = ON_THE_FLOOR
    here.plant.unit(SOUGHT, build_number=BUILT)
    for _ in range(waiting - 1):
        here.plant.unit()
    under_way = [units.walked(here, seen, finish=False, seed=n) for n in range(walking)]
    for number in range(working):
        units.walked(here, marked, seed=number)
    for number in range(done):
        units.put_right(here, units.walked(here, healed, seed=number))
    return under_way[0]
