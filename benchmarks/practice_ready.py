"""What *ready* means: how often somebody who names so large a share of birds rightly is called ready at last.

The rule of `static/shared/practice.js` on 40 answers: the lower end of Wilson's interval of 95 % (scipy's)
is at .8 or above. Also the least detail that an eye of acuity 1.0 tells through glasses, by distance. Nothing
is drawn at random: the counts are binomial.

    .venv/bin/python benchmarks/practice_ready.py
"""

from __future__ import annotations

from math import pi, tan

from scipy.stats import binom, binomtest

ANSWERS, FROM = 40, 0.8
MINUTE_OF_ARC = pi / 180 / 60
GLASSES = 8


def least_right() -> int:
    """The fewest right answers that make somebody ready."""
    return next(right for right in range(ANSWERS + 1) if _low(right) >= FROM)


def _low(right: int) -> float:
    return float(binomtest(right, ANSWERS).proportion_ci(method="wilson").low)


def main() -> None:
    """Print the rule, whom it calls ready, and what is seen through the glasses."""
    least = least_right()
    print(f"ready from {least} of {ANSWERS}: interval {_low(least):.3f} and above")
    print("names right of 100 | called ready")
    for share in (0.7, 0.8, 0.85, 0.9, 0.95, 0.98):
        print(f"{100 * share:.0f} | {binom.sf(least - 1, ANSWERS, share):.3f}")
    print("metres | least detail through the glasses, mm")
    for metres in (10, 30, 60, 100):
        print(f"{metres} | {1000 * metres * tan(MINUTE_OF_ARC) / GLASSES:.2f}")


if __name__ == "__main__":
    main()
