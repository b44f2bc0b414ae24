"""Templates compiled once for all the applications of a test run: Jinja takes longer for that than to render them."""

from __future__ import annotations

from pathlib import Path

from jinja2 import BytecodeCache, FileSystemBytecodeCache
from jinja2.bccache import Bucket


class Compiled(BytecodeCache):
    """What Jinja made of each template, by the key it gives it."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}
        self.shared: FileSystemBytecodeCache | None = None

    def share(self, folder: Path) -> None:
        """Keep it in a folder, too, where other workers find it; Jinja tells by the text whether it still holds."""
        folder.mkdir(exist_ok=True)
        self.shared = FileSystemBytecodeCache(str(folder))

    def load_bytecode(self, bucket: Bucket) -> None:
        """Hand out what was made of the same text before."""
        if bucket.key in self.kept:
            bucket.bytecode_from_string(self.kept[bucket.key])
        elif self.shared:
            self.shared.load_bytecode(bucket)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what was made."""
        self.kept[bucket.key] = bucket.bytecode_to_string()
        if self.shared:
            self.shared.dump_bytecode(bucket)


COMPILED = Compiled()
