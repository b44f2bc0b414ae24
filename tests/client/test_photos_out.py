"""Photos: made small on the tablet, sent after their event, never dropped silently."""

from __future__ import annotations

import base64
import io

import pytest
from PIL import Image

from .conftest import Tablet
from .stub import Stub

pytestmark = pytest.mark.browser

ADD = """async ({ bytes, type }) => {
  const { addPhoto } = await import('/client/photo.js');
  const what = { unit: 'u1', marker: 'm-B1', role: 'found' };
  const file = new Blob([Uint8Array.from(atob(bytes), (letter) => letter.charCodeAt(0))], { type });
  return addPhoto(file, what).then(({ photo }) => photo, (fault) => fault.message);
}"""
PHOTOS = "async () => (await import('/client/photos_out.js')).photosWaiting()"


def picture(width: int, height: int, kind: str = "JPEG", **more: object) -> bytes:
    """A gradient, so that sides and corners can be told apart."""
    image = Image.linear_gradient("L").resize((width, height)).convert("RGB")
    image.paste((200, 30, 30), (0, 0, width // 4, height // 4))
    held = io.BytesIO()
    image.save(held, kind, **more)
    return held.getvalue()


def add(tablet: Tablet, data: bytes, kind: str = "image/jpeg") -> str:
    said: str = tablet.run(ADD, {"bytes": base64.b64encode(data).decode(), "type": kind})
    return said


def until_photos_sent(tablet: Tablet) -> None:
    tablet.until(f"async () => (await ({PHOTOS})()).length === 0")


def test_a_photo_is_sent_after_its_marker_and_its_event(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "fault"
    tablet.mark("B1")
    photo = add(tablet, picture(400, 300))
    stub.mode = "well"
    until_photos_sent(tablet)

    assert [entry for entry in stub.log if not entry.startswith("changes")] == ["marker_made", "photo_added", "photo"]
    assert list(stub.photos) == [photo]


def test_a_large_photo_is_made_2048_px_at_most(tablet: Tablet, stub: Stub) -> None:
    photo = add(tablet, picture(1500, 4000))
    until_photos_sent(tablet)

    assert Image.open(io.BytesIO(stub.photos[photo])).size == (768, 2048)


def test_a_photo_taken_sideways_arrives_upright(tablet: Tablet, stub: Stub) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF 2.3, orientation: row 0 is the right side, column 0 the top
    photo = add(tablet, picture(800, 400, exif=exif))
    until_photos_sent(tablet)
    image = Image.open(io.BytesIO(stub.photos[photo]))

    assert image.size == (400, 800)
    red, green, _ = image.getpixel((390, 10))
    assert red > 150
    assert green < 90


def test_a_small_photo_is_not_blown_up(tablet: Tablet, stub: Stub) -> None:
    photo = add(tablet, picture(640, 480, "PNG"), "image/png")
    until_photos_sent(tablet)

    assert Image.open(io.BytesIO(stub.photos[photo])).size == (640, 480)


def test_something_that_is_no_photo_is_told_at_once(tablet: Tablet) -> None:
    assert (
        add(tablet, b"hello, this is text", "text/plain")
        == "This is not a photo; choose a JPEG, PNG, WebP or HEIC file."
    )
    assert tablet.run(PHOTOS) == []
    assert tablet.waiting() == []


def test_a_photo_the_server_refuses_stays_with_its_reason(tablet: Tablet, stub: Stub) -> None:
    # Bytes this browser cannot decode go as they are: it might have been a HEIC that the server can.
    photo = add(tablet, b"not really heic" * 20, "image/heic")
    tablet.until(f"async () => (await ({PHOTOS})())[0]?.refused")
    held = tablet.run(PHOTOS)

    assert [(p["photo"], p["refused"]) for p in held] == [
        (photo, "This is not a picture that can be read; take it again.")
    ]
    assert stub.photos == {}


def test_a_photo_survives_a_reload_with_its_event(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "silent"
    photo = add(tablet, picture(300, 200))
    tablet.page.goto("about:blank")
    stub.mode = "well"
    tablet.open()
    until_photos_sent(tablet)

    assert list(stub.photos) == [photo]


def test_dismissing_a_refused_photo_event_drops_its_photo(tablet: Tablet, stub: Stub) -> None:
    stub.refuse["photo_added"] = ("refused", "The marker of this photo is not known.")
    add(tablet, picture(300, 200))
    tablet.until_sent()
    held = tablet.run("() => window.outbox.answers()")
    before = len(tablet.run(PHOTOS))
    tablet.run("(id) => window.outbox.dismiss(id)", held[0]["id"])

    assert before == 1
    assert tablet.run(PHOTOS) == []
    assert stub.photos == {}
