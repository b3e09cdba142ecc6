"""Photographs as they are kept: decoded and written anew, so that nothing but the picture is in them.

In: the bytes of a picture. Out: a JPEG of its dots alone, upright: no place, no time, no maker of the camera, no remarks.
Not here: rows, names of files, who may see them.
"""

from __future__ import annotations

import hashlib
import io
import threading
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

register(
    {
        "PG01": "a photograph that is no picture read here",
        "PG02": "a photograph that is too large",
        "PG03": "what a photograph shows, in a word that is not known",
    }
)

SHOWS = ("saddle from behind", "back from above", "other")
"""What a photograph of a visit can show."""
LEFT_OUT = "left out of reports"
"""Said in place of what it shows, of a photograph that stands in no report any more; no reader is shown any of these."""
MOST_BYTES = 25_000_000
"""The largest photograph that is read (bytes); own setting."""
MOST_PIXELS = 60_000_000
"""The most dots a photograph may unfold to: more than telephones make, and some 200 MB while it is read; own setting."""
LONGEST_PX = 3000
"""The longer side of a photograph as it is kept; own setting: prints sharp across a page."""
_QUALITY = 90
#: By the names the library has for them.
FROM_A_TELEPHONE = ("JPEG", "PNG", "WEBP")
FROM_THIS_MACHINE = (*FROM_A_TELEPHONE, "TIFF", "GIF", "BMP")
_ONE_AT_A_TIME = threading.Lock()  # a large one takes much memory while it is read


@frozen
class Picture:
    """A photograph ready to be kept. `data` is a JPEG, `width` and `height` in pixels; `original` the SHA-256 of what was
    given."""

    data: bytes
    width: int
    height: int
    original: str


def shows_of(word: str, place: str = "--shows") -> str:
    """What a photograph shows, one of SHOWS or LEFT_OUT; nothing written is "other". Raises BadInput (PG03)."""
    text = " ".join(word.split()).casefold() or "other"
    known = (*SHOWS, LEFT_OUT)
    if text in known:
        return text
    from reasoner.problems import near_hint

    hint = near_hint(text, known) or f"Known: {', '.join(known)}."
    raise BadInput(
        [Problem(place, 0, "PG03", f'"{word[:60]}" is nothing that a photograph is said to show here.', hint)]
    )


def cleaned(
    data: bytes, name: str, formats: tuple[str, ...] = FROM_A_TELEPHONE, *, longest_px: int = LONGEST_PX
) -> Picture:
    """The picture in these bytes and nothing else of them: turned upright, no longer than `longest_px`, on white where it was
    transparent; of moving ones the first. `name` is for messages. Raises BadInput (PG01, PG02)."""
    if len(data) > MOST_BYTES:
        raise _too_large(name, f"{len(data) / 1e6:.0f} MB were read, at most {MOST_BYTES / 1e6:.0f} MB are taken.")
    with _ONE_AT_A_TIME:
        return _written_anew(data, name, formats, longest_px)


def _written_anew(data: bytes, name: str, formats: tuple[str, ...], longest_px: int) -> Picture:
    from PIL import Image, ImageOps

    try:
        image = Image.open(io.BytesIO(data), formats=formats)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _unfolds(name) from None
    except Exception:  # what strangers' bytes do to a decoder is not known beforehand
        raise _no_picture(name, data, formats) from None
    if image.width * image.height > MOST_PIXELS:
        raise _unfolds(name)
    try:
        image.draft("RGB", (longest_px, longest_px))  # a JPEG need not be unfolded further than it is kept
        image.thumbnail((longest_px, longest_px), reducing_gap=2.0)
        upright: Any = ImageOps.exif_transpose(image).convert("RGBA")
        kept = Image.new("RGB", upright.size, "white")  # made fresh: nothing that came with the picture comes along
        kept.paste(upright, mask=upright.getchannel("A"))
        out = io.BytesIO()
        kept.save(out, "JPEG", quality=_QUALITY, optimize=True)
    except Exception:
        raise BadInput(
            [Problem(name, 0, "PG01", "this picture is damaged or not whole.", "Take or send it again.")]
        ) from None
    return Picture(out.getvalue(), kept.width, kept.height, hashlib.sha256(data).hexdigest())


def _no_picture(name: str, data: bytes, formats: tuple[str, ...]) -> BadInput:
    read = "nothing" if not data else "this" if name.lower().endswith((".heic", ".heif")) else "what is in this file"
    known = ", ".join("WebP" if one == "WEBP" else one for one in formats)
    hint = f"Read are {known}. A telephone that keeps HEIC can send a JPEG instead: share it, or choose the most compatible kind."
    return BadInput([Problem(name, 0, "PG01", f"{read} is no photograph that is read here.", hint)])


def _unfolds(name: str) -> BadInput:
    return _too_large(name, f"it unfolds to more than {MOST_PIXELS // 1_000_000} million dots.")


def _too_large(name: str, why: str) -> BadInput:
    return BadInput([Problem(name, 0, "PG02", f"this photograph is too large: {why}", "Send a smaller copy of it.")])
