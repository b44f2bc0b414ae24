"""What stands on a PDF, read by PDFium, which knows nothing of how it was made."""

from __future__ import annotations

from pathlib import Path

from pypdfium2 import PdfDocument
from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE


def pages(pdf: bytes | Path) -> list[str]:
    """The text of each page, line by line."""
    document = PdfDocument(pdf)
    try:
        return [page.get_textpage().get_text_bounded().replace("\r\n", "\n") for page in document]
    finally:
        document.close()


def words(pdf: bytes | Path) -> str:
    """All of it on one line."""
    return " ".join(" ".join(pages(pdf)).split())


def images(pdf: bytes) -> list[tuple[float, float, float, float]]:
    """Where the pictures are on their pages: left, bottom, right and top in points, from the lower left corner."""
    document = PdfDocument(pdf)
    try:
        return [one.get_bounds() for page in document for one in page.get_objects(filter=(FPDF_PAGEOBJ_IMAGE,))]
    finally:
        document.close()
