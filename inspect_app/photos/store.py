"""Keep photos in a folder, each named by the SHA-256 of its largest picture.

What matters: a photo that `has` says is there is there whole, even after the power failed; the same photo sent twice is
kept once; and no name from outside ever becomes part of a path unless it is 64 hexadecimal digits.
"""

import contextlib
import os
import re
import tempfile
from pathlib import Path
from typing import Literal, get_args

from inspect_app.photos.model import Cleaned, Stored, StoreError
from inspect_app.words import gettext as _

Size = Literal["full", "600", "thumb"]
_SHA = re.compile(r"[0-9a-f]{64}")
_INCOMING = "incoming"


class Store:
    """A folder of photos: `ab/abcd….full.jpg`, with folders of mode 0700 and files of mode 0600."""

    def __init__(self, folder: Path | str, *, lasting: bool = True) -> None:
        """Use `folder`, making it if it is missing.

        Without `lasting` no photo waits for the disk: for a plant that is made anew if the power fails meanwhile.
        """
        self.folder = Path(folder)
        self._lasting = lasting
        self._make(self.folder)
        self._make(self.folder / _INCOMING)

    def put(self, photo: Cleaned) -> Stored:
        """Keep all three sizes; returns when they are on the disk. Raises StoreError, and then nothing was kept."""
        stored = Stored(sha=photo.sha, bytes=len(photo.full), width=photo.width, height=photo.height)
        if self.has(stored.sha):
            return stored
        sizes: dict[Size, bytes] = {"thumb": photo.thumb, "600": photo.middle, "full": photo.full}
        try:
            self._make(self.path(stored.sha, "full").parent)
            for size, content in sizes.items():  # the largest last: it is the one that says "here"
                self._write(self.path(stored.sha, size), content)
        except OSError as error:
            self._forget(stored.sha)
            raise StoreError(
                _(
                    "The photo could not be kept on the server (%(why)s): it stays on the tablet; tell whoever looks"
                    " after the server, and it will be sent again.",
                    why=error.strerror or error,
                )
            ) from error
        return stored

    def path(self, sha: str, size: Size) -> Path:
        """Return where that size is, or would be, kept. Raises ValueError for a name or size that cannot be."""
        if not isinstance(sha, str) or not _SHA.fullmatch(sha):
            raise ValueError(f"'sha' must be 64 digits 0-9 a-f (got {sha!r:.80})")
        if size not in get_args(Size):
            raise ValueError(f"'size' must be full, 600 or thumb (got {size!r:.80})")
        return self.folder / sha[:2] / f"{sha}.{size}.jpg"

    def has(self, sha: str) -> bool:
        """Return whether the photo is kept, in all its sizes."""
        return all(self.path(sha, size).is_file() for size in get_args(Size))

    def sweep(self) -> int:
        """Remove what a crash left half-written and return how many files. For the start, before photos arrive."""
        left = [path for path in (self.folder / _INCOMING).iterdir() if path.is_file()]
        for path in left:
            path.unlink()
        return len(left)

    def _forget(self, sha: str) -> None:
        for size in get_args(Size):
            with contextlib.suppress(OSError):
                self.path(sha, size).unlink(missing_ok=True)

    def _write(self, path: Path, content: bytes) -> None:
        """Write beside, sync, rename into place, sync the folder: the name shows the whole file or none."""
        handle, name = tempfile.mkstemp(dir=self.folder / _INCOMING)  # mkstemp makes it 0600
        try:
            with open(handle, "wb") as file:
                file.write(content)
                if self._lasting:
                    file.flush()
                    os.fsync(file.fileno())
            os.replace(name, path)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(name)
            raise
        if self._lasting:
            _sync_folder(path.parent)

    def _make(self, folder: Path) -> None:
        if not folder.is_dir():
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            _sync_folder(folder.parent)


def _sync_folder(folder: Path) -> None:
    """Make a new name in `folder` outlast a power cut; Windows has no such call and needs none."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
