"""How clear the marks of a flock are, in sentences."""

from __future__ import annotations

from tarsus.core.words.clarity_said import doubt_said, how_known, named_wrongly_said


def test_a_flock_says_how_often_a_wrong_bird_is_named() -> None:
    assert named_wrongly_said(1 / 235) == "About 1 reading in 235 of a whole bird names the wrong one."
    assert named_wrongly_said(0.0, "avocet").startswith("Fewer than 1 reading in 10,000")
    assert named_wrongly_said(0.01, "avocet").endswith("names the wrong avocet.")


def test_it_says_by_whom_that_is_known_and_how_sure_it_is() -> None:
    assert how_known(0.95, 0.028, 0.012, worst=(6, 0.574), drawn=None) == (
        "By the park’s reader, where a name is said from 95 %; 2.8 in 100 are left in doubt. "
        "Who guesses every time is wrong in 1.2 in 100. 57 % of that lies in the 6 worst pairs."
    )
    assert "in the worst pair." in how_known(0.95, 0.0, 0.02, worst=(1, 0.8), drawn=None)
    nobody = how_known(0.95, 0.0, 0.0, worst=(0, 0.0), drawn=0.001)
    assert "pair" not in nobody
    assert nobody.endswith("Found by drawing readings; give or take 0.10 in 100.")


def test_a_cost_says_what_of_it_is_wrong_and_what_is_doubt() -> None:
    assert doubt_said(1 / 236, 0.028, 0.95, "avocet") == (
        "That is: about 1 reading in 236 of a whole bird names the wrong avocet, and 2.8 in 100 are left in "
        "doubt. A name is said from 95 %; a doubt counts 5 hundredths of a wrong name."
    )
