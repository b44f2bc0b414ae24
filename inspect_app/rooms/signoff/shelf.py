"""Where sheets are kept: each under the SHA-256 of its bytes, for reading only, whole or not there at all."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import tempfile
from pathlib import Path

_SHA = re.compile(r"[0-9a-f]{64}")
_DRAFT = "draft-"


class Shelf:
    """A folder of PDFs, `<sha256>.pdf`, mode 0400 in a folder of mode 0700."""

    def __init__(self, folder: Path):
        self.folder = folder
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)

    def path(self, sha: str) -> Path:
        """Return where that sheet is kept. Raises ValueError for a name that is no SHA-256."""
        if not _SHA.fullmatch(sha):
            raise ValueError(f"'sha' must be 64 digits 0-9 a-f (got {sha!r:.80})")
        return self.folder / f"{sha}.pdf"

    def put(self, pdf: bytes) -> str:
        """Keep a sheet and return its SHA-256 once it is on the disk. Raises OSError, and then nothing was kept."""
        sha = hashlib.sha256(pdf).hexdigest()
        if not self.path(sha).exists():
            self._write(self.path(sha), pdf)
        return sha

    def _write(self, path: Path, pdf: bytes) -> None:
        handle, draft = tempfile.mkstemp(prefix=_DRAFT, dir=self.folder)  # mkstemp makes it 0600
        try:
            with open(handle, "wb") as file:
                file.write(pdf)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(draft, 0o400)
            os.replace(draft, path)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(draft)
            raise
        self._sync()

    def sweep(self) -> None:
        """Remove what a crash left half-written. For the start, before sheets are made."""
        for draft in self.folder.glob(f"{_DRAFT}*"):
            draft.unlink(missing_ok=True)

    def _sync(self) -> None:
        """Make the new name outlast a power cut; Windows has no such call and needs none."""
        if os.name != "posix":
            return
        handle = os.open(self.folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
