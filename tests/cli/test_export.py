"""`tarsus export`: everything the register holds, in three forms, and back in again."""

from __future__ import annotations

import csv
import json
import shutil
import sys
from pathlib import Path

import openpyxl
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from shell import tarsus, with_person

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SAID = ["--letters", "wader", "--species", "Pied avocet=tibia", "--species", "Ruff=leg"]
SAID += ["--species", "African penguin=wing"]


@pytest.fixture(scope="module")
def park(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A register with the example's birds, and an empty one with a person; made once, only read."""
    folder = tmp_path_factory.mktemp("parks")
    empty = with_person(folder / "empty")
    filled = Path(shutil.copytree(empty, folder / "filled"))
    done = tarsus(filled, "import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID, "--apply")
    assert done.returncode == 1, done.stderr
    return filled, empty


def test_all_three_forms_tell_the_same(park: tuple[Path, Path], tmp_path: Path) -> None:
    filled, _ = park
    for target in ("all.json", "all.xlsx", "all"):
        done = tarsus(filled, "export", str(tmp_path / target), "--json")
        assert done.returncode == 0, done.stderr
        told = json.loads(done.stdout)["tables"]
    tables = json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))
    assert {name: len(rows) for name, rows in tables.items()} == told
    book = openpyxl.load_workbook(tmp_path / "all.xlsx")
    assert len(book.sheetnames) == len(tables)
    for name, rows in tables.items():
        with (tmp_path / "all" / f"{name}.csv").open(encoding="utf-8-sig", newline="") as out:
            assert len(list(csv.DictReader(out))) == len(rows)
        assert book[name[:31]].max_row == len(rows) + 1
    names = [row["name"] for row in tables["birds"]]
    assert names == [row["house_name"] for row in tables["bird"]]
    assert [row[0].value for row in book["birds"].iter_rows(min_row=2)] == names


def test_every_table_of_the_register_goes_out_and_no_secret(park: tuple[Path, Path]) -> None:
    filled, _ = park
    done = tarsus(filled, "export", "-")
    assert done.returncode == 0, done.stderr
    tables = json.loads(done.stdout)
    assert {"bird", "band", "stay", "sighting", "round_closed", "person", "change", "withdrawal"} <= set(
        tables
    )
    assert "argon2" not in done.stdout
    assert tables["person"][0].keys() & {"password", "digest"} == set()


def test_exported_birds_come_in_again_as_they_were(park: tuple[Path, Path], tmp_path: Path) -> None:
    filled, empty = park
    assert tarsus(filled, "export", str(tmp_path / "out"), "--table", "birds").returncode == 0
    other = Path(shutil.copytree(empty, tmp_path / "other"))
    birds = tmp_path / "out" / "birds.csv"
    done = tarsus(other, "import", str(birds), *SAID, "--apply", "--json")
    assert done.returncode == 0, done.stdout + done.stderr
    assert tarsus(other, "export", str(tmp_path / "again"), "--table", "birds").returncode == 0
    assert (tmp_path / "again" / "birds.csv").read_text() == birds.read_text()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["{out}"], "is there already; choose another name, nothing is written over"),
        (["birds.pdf"], "'.pdf' is no kind of file written here"),
        (["x", "--table", "brids"], "'brids' is no table of the register; did you mean 'birds'?"),
    ],
)
def test_what_cannot_be_written_is_refused_in_one_sentence(
    park: tuple[Path, Path], tmp_path: Path, words: list[str], said: str
) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "mine").write_text("kept")
    done = tarsus(park[0], "export", *(word.format(out=tmp_path / "out") for word in words), cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["mine", "out"]
