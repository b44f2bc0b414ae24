"""What `clean` refuses: each with one sentence, and without hurting the server that runs it."""

import contextlib
import io
import re
import subprocess
import sys
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from photo_makers import RED, chunk, encoded, heic, packed_zeros, quarters, raw_png, reopened
from PIL import Image

from inspect_app.photos import Limits, PhotoError, clean

# Pillow remarks on damaged files in many words; in service these go to the log, in the tests they would be errors.
pytestmark = pytest.mark.filterwarnings("ignore::UserWarning")


def refusal(source, **limits):
    with pytest.raises(PhotoError) as caught:
        clean(source, limits=Limits(**limits))
    sentence = str(caught.value)
    assert re.fullmatch(r"(The photo|This|The server)[^\n]{20,200}\.", sentence), sentence
    return sentence


@cache
def samples():
    """One whole file of every kind and packing, small enough to be cut at every byte."""
    picture = quarters(64, 48)
    made = {
        "JPEG": encoded(picture, "JPEG"),
        "progressive JPEG": encoded(picture, "JPEG", progressive=True),
        "CMYK JPEG": encoded(picture.convert("CMYK"), "JPEG"),
        "PNG": encoded(picture, "PNG"),
        "palette PNG": encoded(picture.quantize(8), "PNG"),
        "WebP": encoded(picture, "WEBP"),
        "lossless WebP": encoded(picture, "WEBP", lossless=True),
    }
    with contextlib.suppress(ImportError):
        made["HEIC"] = heic(picture)
    return made


NAMES = st.sampled_from(
    ["JPEG", "progressive JPEG", "CMYK JPEG", "PNG", "palette PNG", "WebP", "lossless WebP", "HEIC"]
)
STARTS = st.sampled_from([b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\0\0\0\0WEBP", b"\0\0\0\x18ftypheic"])


def test_every_sample_is_taken_whole():
    assert {name: clean(data).came_as for name, data in samples().items()}


@settings(max_examples=300, deadline=None)
@given(name=NAMES, share=st.floats(0, 1, exclude_max=True))
def test_a_photo_cut_off_anywhere_is_refused(name, share):
    data = samples().get(name, samples()["JPEG"])

    refusal(data[: int(len(data) * share)])


@pytest.mark.parametrize("lost", [1, 2, 3, 4, 8, 12, 13, 40])
@pytest.mark.parametrize("name", ["JPEG", "progressive JPEG", "PNG", "WebP"])
def test_a_photo_that_lost_its_last_bytes_is_refused(name, lost):
    assert re.search("cut off", refusal(samples()[name][:-lost]))


@settings(max_examples=300, deadline=None)
@given(name=NAMES, spots=st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 255)), max_size=12))
def test_a_damaged_photo_is_refused_or_taken_but_never_fails_otherwise(name, spots):
    data = bytearray(samples().get(name, samples()["JPEG"]))
    for share, value in spots:
        data[int(share * len(data))] = value
    photo = None
    with contextlib.suppress(PhotoError):
        photo = clean(bytes(data), limits=Limits(max_pixels=10**6, max_pixels_whole=10**6))

    assert photo is None or reopened(photo.full).size == (photo.width, photo.height)


@settings(max_examples=150, deadline=None)
@given(start=STARTS, rest=st.binary(max_size=300))
def test_noise_is_refused(start, rest):
    refusal(start + rest)


@pytest.mark.parametrize(
    ("data", "named"),
    [
        (b"", "empty"),
        (b"%PDF-1.7 and so on", "a PDF"),
        (b"<!DOCTYPE html><html></html>", "a web page"),
        (b"\xef\xbb\xbf  <svg xmlns='http://www.w3.org/2000/svg'/>", "an SVG drawing"),
        (b"<?xml version='1.0'?><svg/>", "an SVG drawing"),
        (b"PK\x03\x04 archive", "a ZIP archive"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom", "a video"),
        (b"\0\0\0\x1cftypavif\0\0\0\0avifmif1miaf", "an AVIF"),
        (b"\0\0\0\x18ftyphevc\0\0\0\0hevcmsf1", "a moving picture"),
        (b"II*\0 raw", "a TIFF"),
        (b"chassis;make\n", "of an unknown kind"),
    ],
)
def test_what_is_not_a_photo_is_named(data, named):
    sentence = refusal(data)

    assert named in sentence
    assert "take" in sentence


@pytest.mark.parametrize("kind", ["GIF", "TIFF", "BMP", "AVIF", "JPEG2000"])
def test_other_picture_files_are_named(kind):
    words = "JPEG 2000" if kind == "JPEG2000" else kind

    assert words in refusal(encoded(quarters(), kind))


@pytest.mark.parametrize("kind", ["WEBP", "PNG"])
def test_a_moving_picture_is_refused(kind):
    frames = [quarters(64, 48), Image.new("RGB", (64, 48), RED)]

    assert "moving picture" in refusal(encoded(frames[0], kind, save_all=True, append_images=frames[1:]))


def test_forty_megabytes_and_a_byte_are_refused_without_reading_on():
    class Endless(io.RawIOBase):
        given = 0

        def read(self, size=-1):
            self.given += size
            return b"\xff" * size

    stream = Endless()

    assert "larger than 40 MB" in refusal(stream)
    assert stream.given <= 40_000_001


def bomb(width, height):
    rows = packed_zeros((width * 3 + 1) * min(height, 2000))
    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes([8, 2, 0, 0, 0])
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(7100, 7100), (9400, 9400), (14000, 14000), (60000, 60000)])
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
def test_a_picture_with_too_many_pixels_is_refused_by_its_header(size):
    assert "pixels" in refusal(bomb(*size))


def test_a_bomb_does_not_take_memory(tmp_path):
    path = tmp_path / "bomb.png"
    path.write_bytes(bomb(60000, 60000))
    script = (
        "import resource, sys\nfrom inspect_app.photos import PhotoError, clean\n"
        "peak = lambda: resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "before = peak()\ntry:\n    clean(open(sys.argv[1], 'rb'))\nexcept PhotoError:\n    print(peak() - before)\n"
    )
    run = subprocess.run([sys.executable, "-c", script, path], capture_output=True, text=True, check=True)

    assert path.stat().st_size < 1_000_000
    assert int(run.stdout) < 40_000  # kilobytes; the picture would be 10 GB


def test_rows_beyond_the_stated_height_are_not_unpacked():
    photo = clean(raw_png(64, 64, bytes(30_000_000)))

    assert (photo.width, photo.height) == (64, 64)


def test_a_jpeg_of_thousands_of_passes_is_refused():
    data = samples()["progressive JPEG"]
    scan = data[data.rindex(b"\xff\xda") : data.rindex(b"\xff\xd9")]

    assert "passes" in refusal(data[:-2] + scan * 5000 + b"\xff\xd9")


def test_a_text_chunk_that_unpacks_to_a_hundred_megabytes_is_refused():
    chunks = chunk(b"zTXt", b"note\0\0" + packed_zeros(100_000_000))

    refusal(raw_png(4, 4, bytes(13 * 4), before=chunks))


def test_without_its_library_a_heic_is_refused_and_told_why(monkeypatch):
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    head = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"
    sentence = refusal(head + b"\0\0\0\x0cmeta\0\0\0\0")

    assert "cannot read HEIC" in sentence
    assert "set the camera to JPEG" in sentence
