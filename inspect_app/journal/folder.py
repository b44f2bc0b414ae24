"""The data folder: its files, its lock, and the epoch that tells tablets of a restore."""

from __future__ import annotations

import json
import secrets
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout


class FolderBusy(RuntimeError):
    """Another process owns the data folder."""


class Folder:
    """One process owns a data folder at a time. Files inside are for their owner only."""

    def __init__(self, path: Path | str):
        self.path = Path(path).absolute()
        self.path.mkdir(parents=True, exist_ok=True)
        self.path.chmod(0o700)
        self._lock = FileLock(self.path / "lock", mode=0o600)

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.path / "lampwalk.db"

    @property
    def photos(self) -> Path:
        """Where the photos are."""
        return self.path / "photos"

    @property
    def sheets(self) -> Path:
        """Where the sheets are."""
        return self.path / "sheets"

    def own(self) -> None:
        """Take the lock.

        Raises FolderBusy when a running server or command holds it.
        """
        try:
            self._lock.acquire(timeout=0)
        except Timeout:
            raise FolderBusy(f"Another Lampwalk is using {self.path}; stop it first, or use its pages.") from None

    def release(self) -> None:
        """Give the lock back."""
        self._lock.release()

    def epoch(self, newest: int) -> str:
        """Return the epoch; it changes when the journal is shorter than it was, as after a restore."""
        path = self.path / "epoch.json"
        known: dict[str, Any] = (
            json.loads(path.read_text()) if path.exists() else {"epoch": secrets.token_hex(8), "n": 0}
        )
        if newest < known["n"]:
            known["epoch"] = secrets.token_hex(8)
        self.note_epoch(known["epoch"], newest)
        return str(known["epoch"])

    def note_epoch(self, epoch: str, newest: int) -> None:
        """Write down how far the journal has come."""
        path = self.path / "epoch.json"
        draft = path.with_suffix(".new")
        draft.write_text(json.dumps({"epoch": epoch, "n": newest}))
        draft.replace(path)
