"""Photos of the demo: drawn and cleaned while the story is told, kept as the server keeps them."""

from __future__ import annotations

import zlib
from collections.abc import Iterable
from concurrent.futures import Future, ThreadPoolExecutor

from inspect_app.photos import Cleaned, Store, clean
from sample_units.marks import Mark, Spec

Shot = tuple[str, int, bool]  # unit, number of its mark, after


def _make(kind: str, colour_hex: str, finish: str, seed: int, after: bool, small: bool) -> Cleaned:
    from sample_units.paint.surface import CANVAS, SMALL
    from sample_units.paint_photos import draw

    return clean(draw(kind, colour_hex, finish, seed, after=after, size=SMALL if small else CANVAS))


class Darkroom:
    """Makes every photo the specs ask for, two at a time. Use as a context manager."""

    def __init__(self, specs: Iterable[Spec], *, small: bool = False):
        self._small = small
        # Threads: NumPy and Pillow let others run while they draw, and a process would first have to start.
        self._pool = ThreadPoolExecutor(2)
        self._shots: dict[Shot, Future[Cleaned]] = {}
        for spec in reversed(list(specs)):  # the oldest stories stand last
            for number, mark in enumerate(spec.marks):
                self._ask(spec, number, mark)

    def _ask(self, spec: Spec, number: int, mark: Mark) -> None:
        seed = zlib.crc32(f"{spec.key} {number}".encode())
        for after in (False, True) if mark.photo == "pair" else (False,) if mark.photo else ():
            made = self._pool.submit(_make, mark.kind, spec.colour_hex, spec.finish, seed, after, self._small)
            self._shots[(spec.key, number, after)] = made

    def __enter__(self) -> Darkroom:
        return self

    def __exit__(self, *_: object) -> None:
        self._pool.shutdown(cancel_futures=True)

    def __len__(self) -> int:
        return len(self._shots)

    def keep(self, store: Store, shot: Shot) -> dict[str, object]:
        """Wait for a photo, store it, and return what `photo_stored` says of it."""
        stored = store.put(self._shots[shot].result())
        return {"sha": stored.sha, "bytes": stored.bytes, "width": stored.width, "height": stored.height}
