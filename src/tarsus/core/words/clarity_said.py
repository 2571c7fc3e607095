"""How clear the marks of a flock are, and how that is known."""

from __future__ import annotations

from tarsus.core.words.numbers import capital, counted, in_hundred, one_reading_in, per_cent


def named_wrongly_said(share: float, kind: str = "") -> str:
    """How often a reading of a whole bird names a wrong one.

    Args:
        share: of such readings, 0 to 1.
        kind: what the flock is called, such as avocet; *one* where it is left out.
    """
    return f"{capital(one_reading_in(share))} of a whole bird names the wrong {kind or 'one'}."


def how_known(
    sureness: float, left_in_doubt: float, misnamed: float, *, worst: tuple[int, float], drawn: float | None
) -> str:
    """By whom the marks were weighed, and how sure that is.

    Args:
        sureness: the chance from which a name is said.
        left_in_doubt: how often none is.
        misnamed: how often whoever guesses every time is wrong.
        worst: how many pairs are listed, and which share of the wrong names lies in them.
        drawn: how far the figures may be off where readings were drawn, else none.
    """
    pairs, share = worst
    told = [
        f"By the park’s reader, where a name is said from {per_cent(sureness)}; {in_hundred(left_in_doubt)} "
        "in 100 are left in doubt.",
        f"Who guesses every time is wrong in {in_hundred(misnamed)} in 100.",
    ]
    if pairs == 1:
        told.append(f"{per_cent(share)} of that lies in the worst pair.")
    elif pairs:
        told.append(f"{per_cent(share)} of that lies in the {pairs} worst {counted('pair', pairs)}.")
    if drawn is not None:
        told.append(f"Found by drawing readings; give or take {in_hundred(drawn)} in 100.")
    return " ".join(told)


def doubt_said(wrongly: float, in_doubt: float, sureness: float, kind: str) -> str:
    """What a cost in wrong names is made of: *That is: about 1 reading in 236 of a whole bird …*."""
    return (
        f"That is: {one_reading_in(wrongly)} of a whole bird names the wrong {kind}, "
        f"and {in_hundred(in_doubt)} in 100 are left in doubt. A name is said from {per_cent(sureness)}; "
        f"a doubt counts {in_hundred(1.0 - sureness)} hundredths of a wrong name."
    )
