"""Pictures as they are told: made anew before anything of them is kept."""

from __future__ import annotations

import binascii
from base64 import b64decode

from tarsus.core.errors import WrongValue
from tarsus.paper.plan_picture import MadeAnew, made_anew


def picture_of(sent: str, instead: str) -> MadeAnew:
    """The picture that a deed tells in its field ``picture``, without what it says of place and maker.

    Args:
        sent: a PNG or JPEG in base64.
        instead: what to do where it is no picture.

    Raises:
        WrongValue: it is no base64, no such picture, damaged or far too large.
    """
    try:
        contents = b64decode(sent, validate=True)
    except (binascii.Error, ValueError):
        raise WrongValue("picture", "is no base64; send the picture's bytes in base64") from None
    return made_anew(contents, "picture", instead)
