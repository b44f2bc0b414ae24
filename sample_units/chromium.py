"""How Chromium is started here: for the pictures of the docs, and in every test."""

from __future__ import annotations

import shutil


def windowless() -> str | None:
    """Return the path of the Chromium that draws no windows, else of the whole one; it takes half of the processor."""
    return shutil.which("chromium-headless-shell") or shutil.which("chromium")


SIZES = {"wide": (1180, 820), "tall": (744, 1133), "phone": (390, 844)}
"""Widths and heights of the screens we draw for, in CSS px."""
UNWANTED = [
    *("WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup"),
    *("HttpsUpgrades", "HttpsFirstBalancedModeAutoEnable", "PaintHolding", "OptimizationHints", "MediaRouter"),
    *("LensOverlay", "AvoidUnnecessaryBeforeUnloadCheckSync", "ThirdPartyStoragePartitioning"),
]
"""What Chromium does without here. The first three are pages for its address bar, which no one sees: each window makes
them anew and takes more of the processor for it than for ours. The others are what Playwright leaves out: a list
replaces its own."""
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--disable-features={','.join(UNWANTED)}",
]
