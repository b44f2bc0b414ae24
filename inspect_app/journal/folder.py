"""The data folder: its files, its lock."""

from __future__ import annotations

from pathlib import Path

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
