"""How Chromium is started here: for the pictures of the docs, and in every test."""

from __future__ import annotations

SIZES = {"wide": (1180, 820), "tall": (744, 1133), "phone": (390, 844)}
"""Widths and heights of the screens we draw for, in CSS px."""
UNWANTED = [
    *("WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup"),
    *("HttpsUpgrades", "HttpsFirstBalancedModeAutoEnable", "PaintHolding", "OptimizationHints", "MediaRouter"),
    *("LensOverlay", "AvoidUnnecessaryBeforeUnloadCheckSync", "ThirdPartyStoragePartitioning"),
]
"""What Chromium does without here: the first three are pages for its address bar, which no one sees and each window
makes anew, taking more of the processor than our own page; the others are what Playwright leaves out, which our list
replaces."""
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
