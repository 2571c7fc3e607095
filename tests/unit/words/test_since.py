"""News of a fortnight in a dozen lines."""

from __future__ import annotations

from datetime import date

from tarsus.core.words.since import (
    CAME,
    FOUND,
    KINDS,
    MARKS,
    VET,
    WENT,
    News,
    bands_changed,
    news_in_short,
    news_lines,
)

MAY = [date(2026, 5, day) for day in range(1, 32)]


def test_the_same_of_several_birds_is_one_line_with_all_of_them() -> None:
    told = [News(CAME, n, name, "from Marsh Park", MAY[n]) for n, name in ((3, "Rush"), (5, "Alder"))]
    (line,) = news_lines([*told, told[0]])
    assert (line.birds, line.words, line.day) == (((5, "Alder"), (3, "Rush")), "from Marsh Park", MAY[5])


def test_what_is_told_of_one_bird_twice_is_one_line_the_latest_word_first() -> None:
    first, then = News(VET, 7, "Thrift", "lame", MAY[2]), News(VET, 7, "Thrift", "keepers: watch it", MAY[9])
    (line,) = news_lines([first, then])
    assert (line.words, line.day) == ("keepers: watch it; lame", MAY[9])
    assert len(news_lines([first, News(WENT, 7, "Thrift", "died", MAY[9])])) == 2


def test_the_vets_stand_first_and_within_a_kind_the_latest() -> None:
    told = [
        News(MARKS, 1, "Kelp", "white on", MAY[20]),
        News(FOUND, 2, "Sedge", "seen after 6 days", MAY[4]),
        News(FOUND, 3, "Aspen", "seen after 4 days", MAY[8]),
        News(VET, 4, "Thrift", "lame", MAY[1]),
    ]
    assert [line.birds[0][1] for line in news_lines(told)] == ["Thrift", "Aspen", "Sedge", "Kelp"]
    assert news_in_short(news_lines(told)) == "Vet 1, found 2, marks 1"
    assert news_in_short(()) == ""
    assert set(KINDS) >= {VET, FOUND, WENT, CAME, MARKS}


def test_two_birds_of_one_name_stay_two() -> None:
    told = [News(WENT, 1, "Kelp", "died", MAY[1]), News(WENT, 2, "Kelp", "died", MAY[1])]
    (line,) = news_lines(told)
    assert line.birds == ((1, "Kelp"), (2, "Kelp"))


def test_a_band_for_another_of_its_colour_is_a_new_one_and_a_second_one_is_still_on() -> None:
    assert bands_changed(["lime"], ["lime"]) == "new lime"
    assert bands_changed(["white", "lime", "lime"], ["lime", "red"]) == "new lime, white on, lime on, red off"
    assert bands_changed([], ["metal"]) == "metal off"
