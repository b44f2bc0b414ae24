"""Labels of parts: what an independent reader of PDFs finds on them, and what an independent reader of codes reads."""

from io import BytesIO

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from inspect_app.sheet.data import SheetError
from inspect_app.sheet.part_labels import Label, make_labels

PART = "01a222a9-ec2f-7040-9264-92e5fbc010{:02x}"


def labels(count: int, **more: str) -> list[Label]:
    plain = {
        "last_six": "047312",
        "piece": "Left moulding cab door",
        "material": "plastic trim",
        "van": "Brennach Tourer 6, Fjord grey",
        "chassis": "ZZBRT6L10KA047312",
    }
    return [Label(**{**plain, "part": PART.format(number), **more}) for number in range(count)]


def pages(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_label_says_its_six_its_part_and_its_van_and_its_code_names_the_part(paper):
    pdf = make_labels(labels(1), paper=paper)
    (text,) = pages(pdf)
    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=300 / 72).to_pil()

    for words in ("047 312", "Left moulding cab door", "Brennach Tourer 6, Fjord grey", "ZZBRT6L10KA047312"):
        assert words in text
    # urn:uuid as RFC 9562 writes it; the name of a URN is read without case (RFC 8141)
    assert [found.text.lower() for found in zxingcpp.read_barcodes(picture)] == [f"urn:uuid:{PART.format(0)}"]


def test_the_six_are_the_largest_type_on_the_label():
    sizes: dict[str, float] = {}
    PdfReader(BytesIO(make_labels(labels(1)))).pages[0].extract_text(
        visitor_text=lambda text, _cm, _tm, _font, size: sizes.update({text.strip(): size}) if text.strip() else None
    )

    assert max(sizes, key=lambda text: sizes[text]) == "047 312"
    assert sizes["047 312"] > 2 * sizes["Left moulding cab door"]


def test_a_set_of_thirteen_takes_two_pages_and_every_code_is_read():
    pdf = make_labels(labels(13))
    document = pypdfium2.PdfDocument(pdf)
    read = {
        found.text.lower()
        for page in document
        for found in zxingcpp.read_barcodes(page.render(scale=200 / 72).to_pil())
    }

    assert len(document) == 2
    assert read == {f"urn:uuid:{PART.format(number)}" for number in range(13)}


def test_a_long_name_stays_on_its_label():
    import pdfplumber

    page = pdfplumber.open(BytesIO(make_labels(labels(1, piece="Right front arch trim " * 4)))).pages[0]
    name = next(one for one in page.chars if one["text"] == "R")
    row = [one for one in page.chars if abs(one["top"] - name["top"]) < 1]
    code = min(one["x0"] for one in page.rects if one["width"] < 30)

    assert max(one["x1"] for one in row) < code


def test_a_paper_that_is_not_known_is_refused_in_words():
    with pytest.raises(SheetError, match="must be a4 or letter"):
        make_labels(labels(1), paper="a3")
