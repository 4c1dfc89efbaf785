"""Pictures for the tests of the logo: good ones, and such as are made to do harm."""

import struct
import zlib
from io import BytesIO

from PIL import Image

SIGNATURE = b"\x89PNG\r\n\x1a\n"


def picture(size: tuple[int, int] = (300, 100), kind: str = "PNG", mode: str = "RGB", **asked: object) -> bytes:
    """Return a picture whose left half is dark blue and whose right half is white, or clear."""
    made = Image.new(mode, size, (0, 0, 0, 0) if mode == "RGBA" else "white")
    made.paste((20, 73, 107, 255)[: len(mode)], (0, 0, size[0] // 2, size[1]))
    out = BytesIO()
    made.save(out, kind, **asked)
    return out.getvalue()


def chunk(name: bytes, data: bytes) -> bytes:
    """Return a chunk of a PNG file (PNG specification, third edition, 5.3: length, type, data, CRC of type and data)."""
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def claiming(width: int, height: int, data: bytes = b"") -> bytes:
    """Return a PNG of gray pixels that claims a size; its data may be far less, or none."""
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return SIGNATURE + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def chunks(png: bytes) -> list[bytes]:
    """Return the names of the chunks of a PNG, in order."""
    at, found = len(SIGNATURE), []
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        found.append(png[at + 4 : at + 8])
        at += 12 + length
    return found
