"""Claims about writing: one marker, two hundred events, fifty tablets at once."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable
from pathlib import Path

from tests.bench import floors, marks
from tests.bench.measure import Finding, timed, turns
from tests.bench.plant import Site, Tablet, site
from tests.bench.serve import Line, server

TABLETS, EACH = 50, 40


def one_marker(folder: Path) -> list[Finding]:
    """One marker by HTTP, and from its decoded body to the commit."""
    return [_by_http(folder / "http"), _in_process(folder / "process")]


def _by_http(folder: Path, rounds: int = 300, warm: int = 40) -> Finding:
    with site(folder) as here:
        tablet, unit, walk = walking(here)
        events = marks.markers(tablet.hands, unit, walk, rounds + warm)
    bodies = [marks.body(tablet, [event]) for event in events]
    with server(folder) as port:
        line = Line(port, tablet.headers())
        found = turns(
            lambda n: line.post("/bench/one", bodies[n]),
            lambda n: line.post("/sync", bodies[n]),
            rounds=rounds,
            warm=warm,
        )
        line.close()
    return Finding(claim="One marker by HTTP, against a route that commits one row", found=found.ratio, most=1.5)


def _in_process(folder: Path, rounds: int = 300, warm: int = 40) -> Finding:
    with site(folder) as here:
        tablet, unit, walk = walking(here)
        events = marks.markers(tablet.hands, unit, walk, rounds + warm)
        bare = floors.Counter(folder / "floor.db")
        texts = [json.dumps(event) for event in events]
        found = turns(
            lambda n: bare.one(texts[n]), lambda n: here.journal.sync([events[n]], [tablet.token], tablet=tablet.tablet),
            rounds=rounds, warm=warm,
        )  # fmt: skip
    return Finding(claim="One marker from decoded body to commit, against a one-row commit", found=found.ratio, most=3)


def walking(here: Site) -> tuple[Tablet, str, str]:
    """A unit whose first walk is under way on a tablet of its own."""
    tablet, unit = here.tablet("ines"), here.plant.unit()
    return tablet, unit, tablet.hands.start_walk(unit)


def two_hundred(folder: Path) -> list[Finding]:
    """Two hundred events in one sync, against `executemany` of every row they wrote."""
    return [
        _batch(folder / "walk", "200 events of a walk in one sync, against executemany of all their rows", marks.walk_of),
        _batch(folder / "markers", "200 markers in one sync, against executemany of all their rows", marks.markers),
    ]  # fmt: skip


def _batch(
    folder: Path, claim: str, made: Callable[..., list[marks.Event]], rounds: int = 15, warm: int = 3
) -> Finding:
    with site(folder) as here:
        tablet = here.tablet("ines")
        bodies = []
        for number in range(rounds + warm):
            unit = here.plant.unit()
            bodies.append(marks.body(tablet, made(tablet.hands, unit, tablet.hands.start_walk(unit), 200, seed=number)))
        written: dict[int, floors.Rows] = {}

        def subject(number: int) -> float:
            before = here.journal.newest()
            took = timed(lambda n: _taken(here, tablet, bodies[n]), number)
            written[number] = floors.rows_since(here.journal.read(), before)
            return took

        def floor(number: int) -> float:
            rows = written[number]
            db = floors.empty(folder / f"floor{number}.db")
            statements = {table: floors.statement(db, table) for table in rows}
            took = timed(lambda _: floors.write(db, rows, statements), number)
            db.close()
            return took

        # The floor's rows are those the subject wrote, so it comes second in every turn.
        found = turns(floor, subject, rounds=rounds, warm=warm, swap=False)
    return Finding(claim=claim, found=found.ratio, most=5)


def _taken(here: Site, tablet: Tablet, content: bytes) -> None:
    sent = json.loads(content)
    answers = here.journal.sync(sent["events"], sent["tickets"], tablet=tablet.tablet)
    wrong = [answer.reason for answer in answers if answer.outcome != "applied"]
    if wrong:
        raise RuntimeError(f"{len(wrong)} were not applied: {wrong[0]}")


def fifty_tablets(folder: Path, rounds: int = 5, warm: int = 1) -> list[Finding]:
    """Fifty tablets coming back at once, against the same bodies sent to a route that only writes and commits."""
    with site(folder) as here:
        tablets = [here.tablet("ines") for _ in range(TABLETS)]
        bodies = [[_held(here, tablet) for tablet in tablets] for _ in range(rounds + warm)]
    with server(folder) as port:
        lines = [Line(port, tablet.headers()) for tablet in tablets]
        found = turns(
            lambda n: at_once(lines, "/bench/many", bodies[n]),
            lambda n: at_once(lines, "/sync", bodies[n]),
            rounds=rounds, warm=warm,
        )  # fmt: skip
        for line in lines:
            line.close()
    claim = f"{TABLETS} tablets at once with {EACH} markers each, against a route that only writes their rows"
    return [Finding(claim=claim, found=found.ratio, most=2.5)]


def _held(here: Site, tablet: Tablet) -> bytes:
    """What one tablet has kept of a walk of its own."""
    unit = here.plant.unit()
    return marks.body(tablet, marks.markers(tablet.hands, unit, tablet.hands.start_walk(unit), EACH))


def at_once(lines: list[Line], path: str, bodies: list[bytes]) -> float:
    """Send one body on each line at the same moment; seconds until the last is answered."""
    gate = threading.Barrier(len(lines) + 1)
    answers: list[bytes] = []

    def send(line: Line, content: bytes) -> None:
        gate.wait()
        answers.append(line.post(path, content))

    threads = [threading.Thread(target=send, args=pair) for pair in zip(lines, bodies, strict=True)]
    for thread in threads:
        thread.start()
    gate.wait()
    start = time.perf_counter()
    for thread in threads:
        thread.join()
    took = time.perf_counter() - start
    refused = sum(answer.count(b'"outcome":"refused"') for answer in map(marks.plain, answers))
    if len(answers) != len(lines) or refused:
        raise RuntimeError(f"{len(lines) - len(answers)} tablets were not answered, {refused} markers refused")
    return took
