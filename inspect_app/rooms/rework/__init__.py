"""Rework: each department its own steps, in their order."""
