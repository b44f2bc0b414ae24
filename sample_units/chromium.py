"""How Chromium is started here: for the pictures of the docs, and in every test."""

from __future__ import annotations

SIZES = {"wide": (1180, 820), "tall": (744, 1133), "phone": (390, 844)}
"""Widths and heights of the screens we draw for, in CSS px."""
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
