"""The photos of the half-year: drawn, cleaned and stored by other processes while the story is told."""

from __future__ import annotations

import multiprocessing
import os
import zlib
from collections.abc import Iterable
from concurrent.futures import Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from inspect_app.journal import Journal
from sample_units.half_year.plan import Unit

Shot = tuple[int, int, bool]  # number of the van, number of its flaw, after


def develop(folder: Path, kind: str, colour_hex: str, finish: str, seed: int, after: bool) -> dict[str, Any]:
    """Draw one photo, clean and store it as the server does; returns what `photo_stored` says of it."""
    from inspect_app.photos import Store, clean
    from sample_units.paint.surface import SMALL
    from sample_units.paint_photos import draw

    stored = Store(folder, lasting=False).put(clean(draw(kind, colour_hex, finish, seed, after=after, size=SMALL)))
    return {"sha": stored.sha, "bytes": stored.bytes, "width": stored.width, "height": stored.height}


def shots(units: Iterable[Unit]) -> list[tuple[Shot, Unit]]:
    """Every photo of a plan, in the order of the walks."""
    found: list[tuple[Shot, Unit]] = []
    for unit in units:
        for number, flaw in enumerate(unit.every):
            for after in (False, True) if flaw.photo == "pair" else (False,) if flaw.photo else ():
                found.append(((unit.number, number, after), unit))
    return found


def _give_way() -> None:
    if hasattr(os, "nice"):
        os.nice(5)


@dataclass(frozen=True)
class Announced:
    """A photo a tablet has told of: whose, and which shot it is."""

    van: str
    photo: str
    shot: Shot


class Gallery:
    """Draws every photo of a plan. Use as a context manager."""

    def __init__(self, folder: Path, units: Iterable[Unit], processes: int = 1):
        # Spawned, not forked: the journal's writer thread must not be copied half-way through a commit.
        context = multiprocessing.get_context("spawn")
        self._pool = ProcessPoolExecutor(processes, mp_context=context, initializer=_give_way)
        self._made: dict[Shot, Future[dict[str, Any]]] = {}
        self._awaited: list[Announced] = []
        self._telling = ThreadPoolExecutor(8)
        for shot, unit in shots(units):
            number, at, after = shot
            seed = zlib.crc32(f"{number} {at}".encode())
            look = (unit.every[at].kind, unit.colour_hex, unit.finish, seed, after)
            self._made[shot] = self._pool.submit(develop, folder, *look)

    def __enter__(self) -> Gallery:
        return self

    def __exit__(self, *_: object) -> None:
        self._telling.shutdown()
        self._pool.shutdown(cancel_futures=True)

    def announced(self, van: str, photo: str, shot: Shot) -> None:
        """Note that a tablet has told of a photo."""
        self._awaited.append(Announced(van, photo, shot))

    def hand_in(self, journal: Journal, *, all_of_them: bool = False) -> None:
        """Let the server tell of what is stored by now, or wait for every photo that was told of."""
        ready = [one for one in self._awaited if all_of_them or self._made[one.shot].done()]
        list(self._telling.map(partial(self._tell, journal), ready))
        self._awaited = [one for one in self._awaited if one not in ready]

    def _tell(self, journal: Journal, one: Announced) -> None:
        body = {"photo": one.photo, **self._made[one.shot].result()}
        journal.record_server(f"unit:{one.van}", "photo_stored", body)
