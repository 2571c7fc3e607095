"""What photographs and checks in the hand say of a park's colours."""

from __future__ import annotations

from tarsus.core.words.numbers import counted, in_hundred


def photographs_said(photographs: int, *, earned: bool) -> str:
    """What the ways in which bands age were learned from.

    Args:
        photographs: whose bird was then in the hand.
        earned: whether they are enough to go by.
    """
    many = f"{photographs} {counted('photograph', photographs)}"
    if earned:
        return (
            f"Of 100 bands, by {many} whose bird was then in the hand. Every photograph is weighed by it "
            "from when a phone next fetches its exhibits."
        )
    return (
        f"{many} whose bird was then in the hand: too little to go by. Bands are taken to fade "
        "and to be muddy as thought before."
    )


def cameras_said(trusted_otherwise: int, phones: int) -> str:
    """Of how many phones the camera is trusted otherwise than was thought; nothing where there is none."""
    if not phones:
        return ""
    if not trusted_otherwise:
        return "Of no phone’s camera was enough learned to trust it otherwise than was thought."
    return (
        f"Of {trusted_otherwise} of {phones} {counted('phone', phones)} the camera is trusted less or more "
        "than was thought; each person sees their own under What your checks say."
    )


def checks_said(checked: int, rest: float, thought: float, *, differ: bool) -> str:
    """What checks in the hand say of how colours fade.

    Args:
        checked: bands as last found in the hand.
        rest: share of every colour that is not named above that has faded.
        thought: the same as thought before.
        differ: whether any colour fades faster or slower than the rest.
    """
    many = f"{checked} {counted('band', checked)}"
    if not differ:
        return f"{many} checked in the hand: no colour fades faster or slower than the rest."
    return (
        f"Of 100 such bands so many have faded, a little or more; about {in_hundred(rest)} of every other "
        f"colour, {in_hundred(thought)} as thought before. By {many} as last found in the hand. Every "
        "photograph is weighed by it from when a phone next fetches its exhibits."
    )
