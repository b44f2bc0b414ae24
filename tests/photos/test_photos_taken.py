"""What `clean` makes of photos it takes, checked on pixels read back by a fresh Pillow and on raw bytes."""

import io

import pytest
from photo_makers import (
    BLUE,
    GREEN,
    RED,
    YELLOW,
    close,
    corner_pixels,
    encoded,
    heic,
    jpeg_segments,
    quarters,
    raw_png,
    reopened,
    rgb_profile,
)
from PIL import Image

from inspect_app.photos import clean

UPRIGHT = (RED, GREEN, BLUE, YELLOW)
# JEITA CP-3451 (EXIF 2.3), tag 0112: which side of the upright picture the stored row 0 and column 0 are.
ORIENTATIONS = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def stored_as(upright, orientation):
    """Lay out the upright picture as the standard's table says, pixel by pixel."""
    row_side, column_side = ORIENTATIONS[orientation]
    (w, h), swapped = upright.size, row_side in ("left", "right")
    stored = Image.new("RGB", (h, w) if swapped else (w, h))
    for row in range(stored.height):
        for column in range(stored.width):
            at = {"top": row, "bottom": h - 1 - row, "left": row, "right": w - 1 - row}[row_side]
            along = {"top": column, "bottom": h - 1 - column, "left": column, "right": w - 1 - column}[column_side]
            stored.putpixel((column, row), upright.getpixel((at, along) if swapped else (along, at)))
    return stored


def with_tags(orientation=1):
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "INVENTED-CAMERA"
    exif.get_ifd(0x8825)[29] = "GPSDATE-SENTINEL"
    return exif


def looks_upright(photo):
    return all(close(got, want, 25) for got, want in zip(corner_pixels(reopened(photo.full)), UPRIGHT, strict=True))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_kind_is_taken_and_comes_out_as_a_jpeg(kind):
    photo = clean(io.BytesIO(encoded(quarters(), kind)))

    assert photo.came_as.upper() == kind
    assert reopened(photo.full).format == "JPEG"
    assert looks_upright(photo)


def test_a_heic_is_taken():
    pytest.importorskip("pillow_heif")
    photo = clean(heic(quarters(256, 192)))

    assert (photo.came_as, photo.width, photo.height) == ("HEIC", 256, 192)
    assert looks_upright(photo)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("orientation", ORIENTATIONS)
def test_every_orientation_comes_out_upright(kind, orientation):
    stored = stored_as(quarters(), orientation)
    photo = clean(encoded(stored, kind, exif=with_tags(orientation)))

    assert (photo.width, photo.height) == (96, 64)
    assert looks_upright(photo)
    assert reopened(photo.full).getexif().get(0x0112, 1) == 1


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_heic_taken_sideways_comes_out_upright(orientation):
    pytest.importorskip("pillow_heif")
    stored = stored_as(quarters(192, 128), orientation)
    photo = clean(heic(stored, exif=with_tags(orientation).tobytes()))

    assert (photo.width, photo.height) == (192, 128)
    assert looks_upright(photo)


@pytest.mark.filterwarnings("ignore:Corrupt EXIF data")  # Pillow's own remark, which goes to the log
def test_an_unreadable_orientation_leaves_the_photo_as_it_lies():
    photo = clean(encoded(quarters(), "JPEG", exif=b"Exif\0\0MM\0*\0\0\0\x08\xff\xff\x01\x12" + b"\xff" * 40))

    assert looks_upright(photo)


SENTINELS = (b"Exif", b"GPSDATE", b"INVENTED", b"COMMENT-SENTINEL", b"XMP-SENTINEL")


def tagged_jpeg(**more):
    xmp = b"<x:xmpmeta>XMP-SENTINEL</x:xmpmeta>"
    return encoded(quarters(), "JPEG", exif=with_tags(), comment=b"COMMENT-SENTINEL", xmp=xmp, **more)


def with_profile():
    return tagged_jpeg(icc_profile=rgb_profile((0.436, 0.222, 0.014), (0.385, 0.717, 0.097), (0.143, 0.061, 0.714)))


@pytest.mark.parametrize("before", [tagged_jpeg(), with_profile()], ids=["plain", "with profile"])
def test_nothing_of_where_when_and_with_what_is_left(before):
    photo = clean(before)
    assert all(sentinel in before for sentinel in SENTINELS)

    for picture in (photo.full, photo.middle, photo.thumb):
        assert not [sentinel for sentinel in (*SENTINELS, b"ICC_PROFILE", b"acsp") if sentinel in picture]
        assert not dict(reopened(picture).getexif())


def test_the_only_segments_left_are_those_that_carry_pixels():
    # JFIF's APP0 (E0), quantisation (DB), frame (C0), Huffman (C4), restart (DD), scan (DA).
    assert set(jpeg_segments(clean(with_profile()).full)) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDD, 0xDA}
    assert {0xE1, 0xE2, 0xFE} <= set(jpeg_segments(with_profile()))


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_metadata_of_other_kinds_goes_too(kind):
    before = encoded(quarters(), kind, exif=with_tags())
    photo = clean(before)

    assert b"GPSDATE-SENTINEL" in before
    assert b"GPSDATE-SENTINEL" not in photo.full + photo.middle + photo.thumb


@pytest.mark.parametrize("tail", [b"PK\x03\x04 zip-sentinel", b"<html><script>sentinel</script>", b"ftypmp42 sentinel"])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_what_is_hidden_behind_a_photo_is_dropped(kind, tail):
    photo = clean(encoded(quarters(), kind) + tail * 50)

    assert b"sentinel" not in photo.full + photo.middle + photo.thumb
    assert looks_upright(photo)


def test_a_large_photo_is_shrunk_to_2048_600_and_160():
    photo = clean(encoded(quarters(3001, 2251), "PNG"))
    sizes = [reopened(data).size for data in (photo.full, photo.middle, photo.thumb)]

    assert sizes == [(2048, 1536), (600, 450), (160, 120)]
    assert (photo.width, photo.height) == (2048, 1536)


def test_a_twelve_megapixel_jpeg_keeps_nearly_all_it_may():
    photo = clean(encoded(quarters(4032, 3024), "JPEG"))

    assert 1792 <= photo.width <= 2048
    assert looks_upright(photo)


def test_a_small_photo_is_not_blown_up():
    photo = clean(encoded(quarters(80, 40), "PNG"))

    assert {reopened(data).size for data in (photo.full, photo.middle, photo.thumb)} == {(80, 40)}


def test_a_sliver_keeps_at_least_one_pixel():
    assert reopened(clean(encoded(Image.new("RGB", (5000, 2), RED), "PNG")).thumb).size == (160, 1)


def test_transparency_is_laid_on_white():
    image = Image.new("RGBA", (64, 64), (255, 0, 0, 0))
    image.paste((0, 0, 255, 128), (32, 0, 64, 64))
    result = reopened(clean(encoded(image, "PNG")).full)

    assert close(result.getpixel((8, 32)), (255, 255, 255))
    assert close(result.getpixel((56, 32)), (127, 127, 255))


def test_a_palette_with_a_transparent_colour_is_laid_on_white():
    image = quarters().quantize(8)
    see_through = image.getpixel((2, 2))
    result = reopened(clean(encoded(image, "PNG", transparency=see_through)).full)

    assert close(result.getpixel((24, 16)), (255, 255, 255))
    assert close(result.getpixel((72, 16)), GREEN)


@pytest.mark.parametrize("kind", ["L", "1", "LA"])
def test_grey_and_black_and_white_are_taken(kind):
    image = Image.new("L", (64, 64), 0)
    image.paste(255, (32, 0, 64, 64))
    result = reopened(clean(encoded(image.convert(kind), "PNG")).full)

    assert close(result.getpixel((8, 8)), (0, 0, 0))
    assert close(result.getpixel((56, 8)), (255, 255, 255))


def test_sixteen_bit_grey_keeps_its_middle_tones():
    row = b"\0" + b"".join(value.to_bytes(2, "big") for value in [0x4000] * 32 + [0xC000] * 32)
    result = reopened(clean(raw_png(64, 64, row * 64, depth=16, colour=0)).full)

    assert close(result.getpixel((8, 8)), (64, 64, 64), 3)
    assert close(result.getpixel((56, 8)), (191, 191, 191), 3)


def test_sixteen_bit_colour_is_taken():
    row = b"\0" + (0xC000).to_bytes(2, "big") + (0x4000).to_bytes(2, "big") + b"\0\0"
    result = reopened(clean(raw_png(1, 8, row * 8, depth=16, colour=2)).full)

    assert close(result.getpixel((0, 4)), (192, 64, 0))


def test_a_cmyk_jpeg_comes_out_in_its_colours():
    result = reopened(clean(encoded(Image.new("CMYK", (64, 64), (0, 255, 255, 0)), "JPEG")).full)

    assert result.mode == "RGB"
    assert close(result.getpixel((32, 32)), (255, 0, 0))


def test_a_wide_colour_profile_is_turned_into_srgb():
    # Display P3 primaries adapted to D50; P3 (234, 51, 35) is the sRGB red: both widely published, from memory.
    p3 = rgb_profile((0.51512, 0.2412, -0.00105), (0.29198, 0.69225, 0.04189), (0.1571, 0.06657, 0.78407))
    plain, wide = (
        clean(encoded(Image.new("RGB", (64, 64), (234, 51, 35)), "PNG", icc_profile=icc)) for icc in (None, p3)
    )

    assert close(reopened(plain.full).getpixel((32, 32)), (234, 51, 35), 4)
    assert close(reopened(wide.full).getpixel((32, 32)), (255, 0, 0), 6)


def test_a_broken_colour_profile_does_not_cost_the_photo():
    assert looks_upright(clean(encoded(quarters(), "JPEG", icc_profile=b"acsp" * 99)))


def test_a_wrong_extension_does_not_matter(tmp_path):
    path = tmp_path / "flaw.jpg"
    path.write_bytes(encoded(quarters(), "PNG"))
    with path.open("rb") as file:
        assert clean(file).came_as == "PNG"


def test_the_same_photo_gives_the_same_name():
    data = encoded(quarters(), "PNG")

    assert clean(data).sha == clean(data).sha != clean(encoded(quarters(98), "PNG")).sha


def test_a_photo_is_packed_by_way_of_a_file_so_that_others_are_not_held_up(monkeypatch):
    # Pillow holds the interpreter while it packs a JPEG into memory, 40 ms for 3 megapixels: encode.c of Pillow lets go
    # of it in encode_to_file only, which it uses where there is a file number.
    packed, save = [], Image.Image.save

    def noting(picture, target, *args, **options):
        packed.append(target.fileno())
        save(picture, target, *args, **options)

    raw = encoded(quarters(640, 480), "PNG")
    monkeypatch.setattr(Image.Image, "save", noting)

    photo = clean(raw)

    assert len(packed) == 3
    assert looks_upright(photo)
