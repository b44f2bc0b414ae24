"""Files that are no photos, and photos that no camera would take, put where a photo is awaited.

Each is refused with a sentence and leaves nothing behind, or is stored clean: made anew, without where and when.
"""

from __future__ import annotations

import io
import json
import shutil
import struct
import subprocess
import zipfile
from contextlib import suppress
from http.client import HTTPConnection
from pathlib import Path

import pytest
from ground import Ground, is_a_sentence, is_refused
from PIL import Image

from inspect_app.photos import Store
from tests.photos.photo_makers import (
    chunk,
    encoded,
    jpeg_segments,
    packed_zeros,
    quarters,
    raw_png,
    reopened,
    rgb_profile,
)

pytestmark = pytest.mark.filterwarnings("ignore::UserWarning")  # Pillow's own remarks on damaged files
WHERE = b"GPSDATE-SENTINEL"


def zipped() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("sentinel.html", "<script>sentinel</script>")
    return out.getvalue()


def exif(entries: bytes, *, count: int, after: int = 0) -> bytes:
    """EXIF by hand (TIFF 6.0, section 2): a header, one directory of 12-byte entries, and where the next one is."""
    return b"Exif\0\0MM\0*\0\0\0\x08" + struct.pack(">H", count) + entries + struct.pack(">I", after)


def entry(tag: int, kind: int, count: int, value: int) -> bytes:
    return struct.pack(">HHII", tag, kind, count, value)


def photo(**more) -> bytes:
    return encoded(quarters(), "JPEG", **more)


def located() -> Image.Exif:
    """Where, when and with what, as a phone writes it: Exif 2.32, tags 010F, 0132, 8769/9003 and the GPS directory."""
    tags = Image.Exif()
    tags[0x010F], tags[0x0132] = "INVENTED", "2026:01:02 03:04:05"
    tags.get_ifd(0x8769)[0x9003] = "2026:01:02 03:04:05"
    tags.get_ifd(0x8825).update({1: "N", 2: (52.0, 31.0, 12.5), 3: "E", 4: (13.0, 24.0, 18.0), 29: WHERE.decode()})
    return tags


def apng() -> bytes:
    return encoded(quarters(), "PNG", save_all=True, append_images=[quarters(96, 64, [(9, 9, 9)] * 4)])


def bomb(side: int) -> bytes:
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    rows = packed_zeros(3_000_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def text_bomb() -> bytes:
    return raw_png(4, 4, bytes(52), before=chunk(b"zTXt", b"note\0\0" + packed_zeros(100_000_000)))


def wide_jpeg() -> bytes:
    """A small JPEG whose frame header (ISO/IEC 10918-1, B.2.2) says 65,500 by 65,500."""
    data = bytearray(photo())
    at = data.index(b"\xff\xc0")
    data[at + 5 : at + 9] = struct.pack(">HH", 65_500, 65_500)
    return bytes(data)


LOOP = exif(entry(0x8769, 4, 1, 8) + entry(0x8825, 4, 1, 8), count=2, after=8)
REFUSED = {
    "nothing at all": b"",
    "one byte": b"\xff",
    "a JPEG cut off": photo()[:-200],
    "a PNG cut off": encoded(quarters(), "PNG")[:-20],
    "a WebP cut off": encoded(quarters(), "WEBP")[:-20],
    "a page that says it is a picture": b"<!DOCTYPE html><script>sentinel</script>" + photo(),
    "an archive with a picture behind it": zipped() + photo(),
    "a script": b"#!/bin/sh\necho sentinel\n",
    "an SVG": b"<svg xmlns='http://www.w3.org/2000/svg' onload='sentinel()'/>",
    "a moving GIF": encoded(quarters(), "GIF", save_all=True, append_images=[quarters(96, 64, [(9, 9, 9)] * 4)]),
    "a moving WebP": encoded(quarters(), "WEBP", save_all=True, append_images=[quarters(96, 64, [(9, 9, 9)] * 4)]),
    "a moving PNG": apng(),
    "a PNG bomb": bomb(60_000),
    "a JPEG bomb": wide_jpeg(),
    "a text that unpacks to a hundred megabytes": text_bomb,
    "two megabytes of noise that begin like a JPEG": b"\xff\xd8\xff\xe0" + bytes(range(256)) * 8_000,
}  # fmt: skip
STORED = {
    "a page behind a picture": photo() + b"<html><script>sentinel</script></html>",
    "an archive behind a picture": photo() + zipped(),
    "a comment that is a script": photo(comment=b"<script>sentinel</script>"),
    "CMYK": encoded(quarters().convert("CMYK"), "JPEG"),
    "16-bit grey": raw_png(64, 64, (b"\0" + bytes(range(128))) * 64, depth=16, colour=0),
    "16-bit colour": raw_png(8, 8, (b"\0" + bytes(48)) * 8, depth=16, colour=2),
    "16-bit with transparency": raw_png(8, 8, (b"\0" + bytes(64)) * 8, depth=16, colour=6),
    "directories that point at themselves": photo(exif=LOOP),
    "64 KB of noise for EXIF": photo(exif=b"Exif\0\0" + b"\xa5" * 65_000),
    "orientation 99": photo(exif=exif(entry(0x0112, 3, 1, 99 << 16), count=1)),
    "orientation as a text": photo(exif=exif(entry(0x0112, 2, 400_000_000, 4), count=1)),
    "65,535 entries that are not there": photo(exif=exif(b"", count=65_535, after=2**32 - 1)),
    "a place": photo(exif=located()),
    "a place in a PNG": encoded(quarters(), "PNG", exif=located()),
    "a place in a WebP": encoded(quarters(), "WEBP", exif=located()),
    "a colour profile": photo(
        icc_profile=rgb_profile((0.436, 0.222, 0.014), (0.385, 0.717, 0.097), (0.143, 0.061, 0.714))
    ),
    "noise for a colour profile": photo(icc_profile=b"\xa5" * 40_000),
    "a colour profile that says it is four gigabytes": photo(icc_profile=b"\xff\xff\xff\xff" + b"acsp" * 200),
}


def put(ground: Ground, key: str, data: bytes, content_type: str = "image/jpeg"):
    return ground.clients["inspector"].put(f"/photos/{key}", data=data, content_type=content_type)


def blobs(ground: Ground) -> int:
    return ground.journal.read().execute("SELECT count(*) FROM blobs").fetchone()[0]


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_photo_is_refused_and_nothing_of_it_is_stored(ground, name):
    key, before, rows = ground.announced(), ground.files(), blobs(ground)
    sent = REFUSED[name]
    answer = put(ground, key, sent() if callable(sent) else sent)

    assert is_refused(answer, 422) == "photo"
    assert ground.files() == before
    assert blobs(ground) == rows
    assert ground.plant.row("photos", key)["sha"] is None
    assert put(ground, key, photo()).status_code == 200  # the real one can still come
    ground.is_whole()


@pytest.mark.parametrize("name", STORED)
def test_what_is_odd_about_a_photo_is_left_out_of_what_is_stored(ground, name):
    key = ground.announced()
    answer = put(ground, key, STORED[name])
    assert answer.status_code == 200, answer.text
    store = Store(ground.journal.folder.photos)
    kept = [store.path(answer.json["sha"], size).read_bytes() for size in ("full", "600", "thumb")]

    for data in kept:
        picture = reopened(data)
        assert (picture.format, picture.mode) == ("JPEG", "RGB")
        assert set(jpeg_segments(data)) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDD, 0xDA}
        assert data.endswith(b"\xff\xd9")
        assert not [word for word in (b"sentinel", WHERE, b"INVENTED", b"ICC_PROFILE", b"Exif") if word in data]
    assert answer.json["state"] == "stored"


@pytest.mark.parametrize(
    "content_type",
    [
        "text/html",
        "image/svg+xml",
        "application/json",
        "application/x-www-form-urlencoded",
        "multipart/form-data; boundary=x",
        "image/png",
        "\x7f",
        "",
    ],
)
def test_what_a_photo_is_said_to_be_does_not_matter(ground, content_type):
    key = ground.announced()
    answer = put(ground, key, encoded(quarters(), "PNG"), content_type)
    shown = ground.clients["inspector"].get(f"/photos/{key}?size=full")

    assert answer.status_code == 200, answer.text
    assert shown.mimetype == "image/jpeg"
    assert shown.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    "key",
    ["01a21372-f7f1-7291-8f6d-0779de9627a3", "..%2F..%2Flampwalk.db", "%00", "x" * 5_000, "%ED%A0%80", "tickets.key"],
)
def test_a_picture_that_nobody_announced_is_not_even_read(ground, key):
    before = ground.kept()

    assert is_refused(put(ground, key, photo()), 404) in ("not_announced", "http_404")
    assert ground.kept() == before


def test_a_photo_that_is_refused_leaves_its_reason_in_the_history_and_a_line_in_the_log(ground, caplog):
    key = ground.announced()
    with caplog.at_level("INFO", "lampwalk"):
        put(ground, key, REFUSED["a moving GIF"])
    (event,) = ground.journal.read().execute(
        "SELECT body FROM events WHERE type = 'photo_refused' ORDER BY n DESC LIMIT 1"
    )

    is_a_sentence(json.loads(event["body"])["reason"])
    assert "refused PUT" in caplog.text
    assert "photo" in caplog.text


@pytest.fixture(scope="module")
def address(ground: Ground):
    """A real server, since the largest uploads are turned away before the application."""
    from inspect_app.serving import running

    with running(ground.app.wsgi_app, data_dir=ground.journal.folder.path) as found:
        yield found


def uploaded(ground: Ground, address: str, key: str, size: int, *, told: bool) -> tuple[int, bytes]:
    """Upload so many bytes of noise over a socket, saying beforehand how many or not; the status and body of the answer."""
    cookie = ground.clients["inspector"].get_cookie("lampwalk").value
    connection = HTTPConnection(address.removeprefix("http://"), timeout=60)
    headers = {"Cookie": f"lampwalk={cookie}", "X-Lampwalk": "1", "Content-Type": "image/jpeg"}
    piece = b"\xff\xd8\xff\xe0" + bytes(2**20 - 4)
    pieces = (piece for _ in range(size // len(piece)))
    length = {"Content-Length": str(size)} if told else {}
    with suppress(BrokenPipeError, ConnectionResetError):  # it hung up on us in the middle, having answered
        connection.request("PUT", f"/photos/{key}", pieces, {**headers, **length}, encode_chunked=not told)
    answer = connection.getresponse()
    found = answer.status, answer.read()
    connection.close()
    return found


@pytest.mark.parametrize("told", [True, False], ids=["said beforehand", "not said"])
def test_two_hundred_megabytes_are_turned_away_and_leave_nothing(ground, address, told):
    key, before = ground.announced(), ground.files()
    status, body = uploaded(ground, address, key, 200 * 2**20, told=told)

    assert status == 413
    is_a_sentence(json.loads(body)["error"]["message"])
    assert ground.files() == before
    assert ground.plant.row("photos", key)["state"] == "awaited"


def test_what_is_handed_out_again_cannot_be_run_by_a_browser(ground, address):
    key = ground.announced()
    put(ground, key, STORED["a page behind a picture"])
    connection = HTTPConnection(address.removeprefix("http://"), timeout=60)
    connection.request(
        "GET",
        f"/photos/{key}?size=full",
        headers={"Cookie": f"lampwalk={ground.clients['inspector'].get_cookie('lampwalk').value}"},
    )
    answer = connection.getresponse()
    data = answer.read()
    connection.close()

    assert answer.headers["Content-Type"] == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert b"script" not in data


@pytest.mark.skipif(shutil.which("exiftool") is None, reason="exiftool is not installed; .ci/run installs it")
def test_an_independent_reader_finds_nothing_of_where_and_when(ground, tmp_path):
    # ExifTool knows far more places for metadata than Pillow: https://exiftool.org, run as a program.
    names = ["a place", "a place in a PNG", "a place in a WebP", "a colour profile", "orientation 99"]
    of_a_file = {"SourceFile", "ExifTool", "File", "JFIF", "Composite"}
    before = {name: tmp_path / name for name in names}
    after: dict[str, list[Path]] = {}
    for name, path in before.items():
        path.write_bytes(STORED[name])
        sha = put(ground, ground.announced(), STORED[name]).json["sha"]
        after[name] = [Store(ground.journal.folder.photos).path(sha, size) for size in ("full", "600", "thumb")]
    said = read_by_exiftool([*before.values(), *(path for paths in after.values() for path in paths)])

    for name in names:
        assert said[before[name]] - of_a_file, f"the reader saw nothing before either: {name}"
        for path in after[name]:
            assert said[path] <= of_a_file, (name, path.name, said[path])


def read_by_exiftool(paths: list[Path]) -> dict[Path, set[str]]:
    """The groups of metadata that ExifTool finds in each file."""
    run = subprocess.run(["exiftool", "-json", "-G", "-a", "-u", *paths], capture_output=True, text=True, check=False)
    told = {Path(one["SourceFile"]): {name.split(":")[0] for name in one} for one in json.loads(run.stdout)}
    assert told.keys() == set(paths)
    return told
