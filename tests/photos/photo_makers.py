"""Pictures for the photo tests: made with Pillow where it can, byte by byte where it must not be asked."""

import io
import struct
import zlib

from PIL import Image

RED, GREEN, BLUE, YELLOW = (220, 20, 20), (20, 180, 20), (20, 20, 220), (230, 220, 20)


def encoded(image, kind, **options):
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def heic(image, **options):
    import pillow_heif

    out = io.BytesIO()
    pillow_heif.from_pillow(image).save(out, **options)
    return out.getvalue()


def quarters(width=96, height=64, corners=(RED, GREEN, BLUE, YELLOW)):
    """Upright: red top left, green top right, blue bottom left, yellow bottom right."""
    image = Image.new("RGB", (width, height), corners[0])
    image.paste(corners[1], (width // 2, 0, width, height // 2))
    image.paste(corners[2], (0, height // 2, width // 2, height))
    image.paste(corners[3], (width // 2, height // 2, width, height))
    return image


def reopened(data):
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def close(pixel, wanted, within=12):
    return all(abs(a - b) <= within for a, b in zip(pixel, wanted, strict=True))


def corner_pixels(image):
    """The middles of the four quarters, in the order of `quarters`."""
    w, h = image.size
    return [
        image.getpixel(at)
        for at in ((w // 4, h // 4), (3 * w // 4, h // 4), (w // 4, 3 * h // 4), (3 * w // 4, 3 * h // 4))
    ]


def chunk(name, body):
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def raw_png(width, height, raw, *, depth=8, colour=2, before=b""):
    """A PNG (ISO/IEC 15948) from filtered rows `raw`; colour 0 grey, 2 RGB, 3 palette, 4 grey + alpha, 6 RGBA."""
    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    body = chunk(b"IHDR", header) + before + chunk(b"IDAT", zlib.compress(raw, 9)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def packed_zeros(size):
    """So many zero bytes as a zlib stream (RFC 1950): after a full flush a piece stands by itself, and is repeated."""
    whole, rest = divmod(size, 1_000_000)
    piece, end = zlib.compressobj(9, wbits=-15), zlib.compressobj(9, wbits=-15)
    flushed = piece.compress(bytes(1_000_000)) + piece.flush(zlib.Z_FULL_FLUSH)
    check = (size % 65521) << 16 | 1  # Adler-32 of zeros: its first sum stays 1, its second counts
    return b"\x78\xda" + flushed * whole + end.compress(bytes(rest)) + end.flush() + check.to_bytes(4, "big")


def jpeg_segments(data):
    """Marker codes up to the first scan, read independently of the code under test (ISO/IEC 10918-1, annex B)."""
    at, codes = 2, []
    while codes[-1:] != [0xDA]:
        assert data[at] == 0xFF
        codes.append(data[at + 1])
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return codes


def rgb_profile(red, green, blue):
    """A small ICC v4 matrix profile with the sRGB curve; primaries as D50 XYZ (ICC.1:2010, clauses 7 to 10)."""

    def fixed(*values):
        return b"".join(struct.pack(">i", round(value * 65536)) for value in values)

    curve = b"para\0\0\0\0\0\x03\0\0" + fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    words = b"mluc\0\0\0\0\0\0\0\x01\0\0\0\x0cenUS\0\0\0\x04\0\0\0\x1c\0w\0p\0\0"
    tags = {b"desc": words, b"cprt": words, b"wtpt": b"XYZ \0\0\0\0" + fixed(0.9642, 1, 0.8249)}
    tags |= {name: b"XYZ \0\0\0\0" + fixed(*xyz) for name, xyz in ((b"rXYZ", red), (b"gXYZ", green), (b"bXYZ", blue))}
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    table, body = struct.pack(">I", len(tags)), b""
    for name, content in tags.items():
        table += name + struct.pack(">II", 132 + 12 * len(tags) + len(body), len(content))
        body += content + b"\0" * (-len(content) % 4)
    head = bytearray(128)
    head[8:12], head[12:24], head[36:40] = b"\x04\0\0\0", b"mntrRGB XYZ ", b"acsp"
    head[68:80] = fixed(0.9642, 1, 0.8249)
    head[0:4] = struct.pack(">I", 128 + len(table) + len(body))
    return bytes(head) + table + body
