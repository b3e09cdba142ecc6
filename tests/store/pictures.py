"""Pictures for the tests: made here, with a place and remarks in them as a camera writes them.

In: a kind, a size. Out: bytes. Not here: expectations.
"""

from __future__ import annotations

import io
import struct
import zlib

from PIL import Image

SECRET = b"a remark of the camera at Larkhope"


def picture(kind: str = "JPEG", size: tuple[int, int] = (40, 24), *, shade: int = 90, turned: int = 1) -> bytes:
    """A picture, darker on its left, that carries the place it was taken at, a remark, and how it is to be turned (1: not)."""
    image = Image.new("RGB", size, (shade, 120, 60))
    image.paste((10, 10, 10), (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[0x010F] = "Wren's camera"
    exif[0x0112] = turned
    exif[0x010E] = SECRET.decode()
    exif.get_ifd(0x8825).update({1: "N", 2: (54.0, 12.0, 30.5), 3: "W", 4: (2.0, 9.0, 1.25)})
    out = io.BytesIO()
    extra = {"comment": SECRET} if kind == "JPEG" else {}
    image.save(out, kind, **({"exif": exif} if kind in ("JPEG", "PNG", "WEBP", "TIFF") else {}), **extra)
    return out.getvalue()


def bomb(width: int = 30_000, height: int = 30_000) -> bytes:
    """A PNG of a few hundred bytes that says it is enormous."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 4096)) + chunk(b"IEND", b"")
    )
