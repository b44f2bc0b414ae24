"""Hashes that tie each event to the one before it, and private words to the chain without putting them in it."""

from __future__ import annotations

import hashlib
import secrets
import sqlite3
from collections.abc import Mapping, Sequence
from typing import Any

from inspect_app.journal.events import canonical

GENESIS = "0" * 64

# The columns the hash covers, in this order. `n` is left out: it orders all streams, a chain only its own.
COVERED = (
    "id",
    "stream",
    "stream_seq",
    "type",
    "tablet",
    "seq",
    "ticket",
    "person",
    "at",
    "offset_ms",
    "received_at",
    "catalogue",
    "outline",
    "body",
    "resolved",
    "outcome",
    "reason",
    "sent_hash",
    "private_hash",
    "prev",
)


def digest(text: str) -> str:
    """SHA-256 of a text, in hex."""
    return hashlib.sha256(text.encode()).hexdigest()


def event_hash(row: Mapping[str, Any] | sqlite3.Row) -> str:
    """Hash an event row over its covered columns, which include the hash of the event before it."""
    return covered_hash([row[column] for column in COVERED])


def covered_hash(values: Sequence[Any]) -> str:
    """Hash the values of the covered columns, given in their order."""
    return digest(canonical(values))


def seal_private(content: str) -> tuple[str, str]:
    """Return a fresh salt and the hash that goes into the chain in place of the private words."""
    salt = secrets.token_hex(16)
    return salt, digest(salt + content)
