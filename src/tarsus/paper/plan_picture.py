"""A picture made anew: small enough for a phone, with nothing in it but the picture."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import Final

from tarsus.core.errors import WrongValue

MOST_PIXELS: Final = 50_000_000
LARGEST: Final = 90_000
"""Bytes of the picture as it is kept: it goes into the pack of every phone."""
_TRIED: Final = ((1200, 72), (1200, 55), (1000, 50), (800, 45), (600, 40), (400, 35))


@dataclass(frozen=True, slots=True)
class MadeAnew:
    """A JPEG without metadata, and its size in pixels."""

    jpeg: bytes
    width: int
    height: int


def made_anew(contents: bytes, place: str, instead: str) -> MadeAnew:
    """The picture of a PNG or JPEG file, upright, at most `LARGEST` bytes, as a JPEG without metadata.

    Args:
        contents: the file.
        place: what a refusal names.
        instead: what to do where it is no picture.

    Raises:
        WrongValue: it is no PNG or JPEG, is damaged, or has more than `MOST_PIXELS`.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(BytesIO(contents), formats=("PNG", "JPEG")) as opened:
            width, height = opened.size
            if width * height > MOST_PIXELS:
                raise WrongValue(
                    place,
                    f"has {width * height // 1_000_000} megapixels; make it smaller than "
                    f"{MOST_PIXELS // 1_000_000}",
                )
            if opened.format == "JPEG":
                opened.draft("RGB", (1200, 1200))  # decoded at the size it is needed in
            upright = ImageOps.exif_transpose(opened).convert("RGBA")
    except UnidentifiedImageError:
        raise WrongValue(place, f"is no PNG or JPEG picture; {instead}") from None
    except Image.DecompressionBombError:
        raise WrongValue(
            place, f"has far more than {MOST_PIXELS // 1_000_000} megapixels; make it smaller"
        ) from None
    except (OSError, SyntaxError, ValueError):
        raise WrongValue(place, "is a damaged picture; photograph or save it anew") from None
    # What is see-through becomes white paper; a fresh image has none of the old one's metadata.
    plain = Image.new("RGB", upright.size, "white")
    plain.paste(upright, mask=upright.getchannel("A"))
    return _small(plain)


def _small(picture: object) -> MadeAnew:
    from PIL import Image

    assert isinstance(picture, Image.Image)
    for longest, quality in _TRIED:
        smaller = picture.copy()
        smaller.thumbnail((longest, longest))
        out = BytesIO()
        smaller.save(out, "JPEG", quality=quality, optimize=True)
        if len(out.getvalue()) <= LARGEST:
            break
    return MadeAnew(out.getvalue(), smaller.width, smaller.height)
