"""An inventory as it is read: male.female.unsexed (common practice), each line with its equation."""

from __future__ import annotations

from tarsus.core.care.inventory.balance import InventoryLine
from tarsus.core.care.inventory.sheet import closing_birds, equation, sheet_rows, sheet_total

LINES = (
    InventoryLine("Ruff", "F", opening=7, died=1, closing=6),
    InventoryLine("Ruff", "M", opening=5, arrived=2, departed=3, resexed_in=1, closing=5),
    InventoryLine("Ruff", "U", opening=2, resexed_out=1, closing=1),
    InventoryLine("Ruff", "?", died=1, closing=-1),
    InventoryLine("Kea", "F", opening=1, closing=1),
)


def told(row: object, *columns: str) -> list[str]:
    return [number.text for number in row.numbers if number.column in columns]  # type: ignore[attr-defined]  # named in the report


def test_a_row_is_males_then_females_then_unsexed_and_carcases_stand_under_their_species() -> None:
    kea, ruff, unnamed = sheet_rows(LINES)
    assert (kea.species, ruff.species, unnamed.species) == ("Kea", "Ruff", "Ruff")
    assert (ruff.unnamed, unnamed.unnamed) == (False, True)
    assert told(ruff, "opening", "arrived", "died", "departed", "resexed", "closing") == [
        "5.7.2",
        "2.0.0",
        "0.1.0",
        "3.0.0",
        "+1.0.−1",
        "5.6.1",
    ]
    assert told(unnamed, "opening", "died", "closing") == ["0", "1", "−1"]
    assert [line.sex for line in ruff.lines] == ["M", "F", "U"]
    assert all(row.balances for row in (kea, ruff, unnamed))
    assert [one.column for one in kea.numbers if not one.nil] == ["opening", "closing"]
    assert "".join(one.sign or "." for one in kea.numbers) == ".++++−−−−±=", "as they enter the equation"


def test_all_species_are_summed_and_a_carcase_is_taken_off_the_birds() -> None:
    assert told(sheet_total(LINES), "opening", "closing") == ["5.8.2", "5.7.1"]
    assert closing_birds(LINES) == 12


def test_a_line_says_its_equation() -> None:
    assert equation(LINES[0]) == "7 − 1 died = 6"
    assert equation(LINES[1]) == "5 + 2 arrived + 1 resexed to − 3 departed = 5"
    assert equation(LINES[3]) == "0 − 1 died = −1"


def test_a_row_with_a_line_that_does_not_balance_says_so() -> None:
    (row,) = sheet_rows([InventoryLine("Ruff", "F", opening=7, died=1, closing=7)])
    assert not row.balances
