"""What was learned of cameras and of ageing bands, in words."""

from __future__ import annotations

from math import floor
from typing import Final

AGED: Final = ("as new", "a little faded", "faded", "a little muddy", "muddy", "faded and muddy")
"""What each way is called in which bands age, in the order of `core.photographs.renderings.AGEING`."""

SEEMED: Final = 0.95
"""How sure a band seems of which it is said what it counts as."""


def counts_as(exponent: float) -> str:
    """What changes for a camera that is trusted less, or more, than any other.

    Args:
        exponent: the power to which each band's fit is raised.

    Source:
        docs/science/photographs.md, eq. 8, for one band that has one of two colours.
    """
    odds = (SEEMED / (1.0 - SEEMED)) ** exponent
    now = floor(100.0 * odds / (1.0 + odds) + 0.5)
    seemed = f"a band that looks {100 * SEEMED:.0f} % red rather than orange counts as {now} %"
    if exponent < 1.0:
        return f"Its colours stray further than was thought, so it is trusted less: {seemed}."
    return f"Its colours are truer than was thought, so it is trusted more: {seemed}."
