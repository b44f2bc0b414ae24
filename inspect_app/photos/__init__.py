"""Photos of flaws: cleaned before they are believed, kept by the hash of what was kept."""

from inspect_app.photos.clean import clean
from inspect_app.photos.model import Cleaned, Limits, PhotoError, Stored, StoreError
from inspect_app.photos.store import Size, Store

__all__ = ["Cleaned", "Limits", "PhotoError", "Size", "Store", "StoreError", "Stored", "clean"]
