"""Lampwalk: a defect logger for the walk around a finished van under the inspection lamps."""

from __future__ import annotations

from pathlib import Path

from flask import Flask


def create_app(data_dir: Path | str, **options: object) -> Flask:
    """Open a data folder and return the web application on it.

    The application owns the folder until `app.extensions["lampwalk"].close()`. `options` go into Flask's configuration.
    Raises FolderBusy when another process has the folder, Unreadable for a file of words that cannot be used.
    """
    from inspect_app.rooms import build

    return build(Path(data_dir), options)
