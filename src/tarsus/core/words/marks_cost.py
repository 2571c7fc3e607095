"""What the desk says of a choice of marks: one measure for the proposal, the habit and the bound."""

from __future__ import annotations

from tarsus.core.words.numbers import in_hundred


def compared(cost: float, habit: float | None, least: float) -> str:
    """Say what a reading of a flock costs, what the habit would cost, and what nothing can cost less than.

    Args:
        cost: of a reading with the marks proposed, in wrong names.
        habit: with the next free combinations of the same stock; none where they do not reach.
        least: below what no choice can go; 0 where that is not proven.

    Source:
        docs/science/assignment.md, eq. 4: a wrong name costs 1, a doubt 1 - sureness of it.
    """
    said = [f"A reading costs {in_hundred(cost)} wrong names in 100."]
    if habit is not None and in_hundred(habit) == in_hundred(cost):
        said.append("The next free combinations would cost as much.")
    elif habit is not None:
        said.append(f"The next free combinations would cost {in_hundred(habit)}.")
    if least <= 0:
        said.append("How low it could go is not proven.")
    elif least >= cost or in_hundred(least) == in_hundred(cost):
        said.append("No choice of marks costs less.")
    else:
        said.append(f"No choice of marks can cost less than {in_hundred(least)}.")
    return " ".join(said)


def judged(cost: float, now: float) -> str:
    """Say what a keeper's own choice costs beside the flock as it is, by the same measure."""
    if in_hundred(cost) == in_hundred(now):
        return f"A reading would cost {in_hundred(cost)} wrong names in 100, as it does now."
    return f"A reading would cost {in_hundred(cost)} wrong names in 100; now it costs {in_hundred(now)}."


def changes_said(changed: int, flock: int, *, proven: bool) -> str:
    """Say how few birds are to be re-banded so that every two are told apart."""
    if not changed:
        return "Every two birds are told apart as they are: nobody needs other marks."
    birds = "1 bird" if changed == 1 else f"{changed} birds"
    stay = flock - changed
    others = "the other stays" if stay == 1 else f"the other {stay} stay"
    fewest = "" if proven else " Fewer may do; that is not proven."
    return f"Change {birds}; {others} as they are.{fewest}"
