"""HEIC, the format of many tablets' own cameras, read by pillow-heif when that is installed.

It stays an extra because its wheel carries a GPL encoder (see docs/dependencies.md).
"""

import io

from PIL import Image

from inspect_app.photos.model import PhotoError
from inspect_app.words import gettext as _


def open_heic(data: bytes) -> Image.Image:
    """Return the file's main picture, not decoded yet; raises PhotoError when pillow-heif is not installed."""
    try:
        from pillow_heif import HeifImageFile
    except ImportError as error:
        raise PhotoError(
            _(
                'This server cannot read HEIC photos: set the camera to JPEG ("most compatible"), '
                "or have 'lampwalk[heic]' installed on the server."
            )
        ) from error
    image: Image.Image = HeifImageFile(io.BytesIO(data))  # type: ignore[no-untyped-call]
    return image
