"""`tarsus export`: everything the register holds, in three forms, and back in again."""

from __future__ import annotations

import csv
import json
import shutil
import sys
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from kept_register import begun

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
        (["x", "--darwin-core", "--table", "bird"], "is a table of its own; leave out --table"),
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


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The invented park, small, and its export."""
    folder = tmp_path_factory.mktemp("demo")
    begun(folder / "demo")
    done = tarsus(folder, "demo", "--home", str(folder / "demo"), "--no-serve", "--small")
    assert done.returncode == 0, done.stderr
    done = tarsus(folder / "demo", "export", str(folder / "all.json"))
    assert done.returncode == 0, done.stderr
    return folder / "demo", folder / "all.json"


def test_a_whole_park_goes_out_and_into_a_new_register_as_it_was(
    demo: tuple[Path, Path], tmp_path: Path
) -> None:
    other = tmp_path / "other"
    looked = tarsus(tmp_path, "import", str(demo[1]), "--home", str(other), "--json")
    assert looked.returncode == 0, looked.stderr
    assert not other.exists(), "a look makes no register"
    done = tarsus(tmp_path, "import", str(demo[1]), "--home", str(other), "--new", "--apply", "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["tables"] == json.loads(looked.stdout)["tables"]
    assert tarsus(other, "export", str(tmp_path / "again.json")).returncode == 0
    before, after = (json.loads(path.read_text("utf-8")) for path in (demo[1], tmp_path / "again.json"))
    assert len(before["sighting"]) > 500
    assert {name for name in before if before[name] != after[name]} == set()
    again = tarsus(other, "import", str(demo[1]), "--apply")
    assert (again.returncode, again.stdout) == (2, "")
    assert "already holds 'Wendlebrook Bird Garden'" in again.stderr


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda tables: tables.pop("bird"), "is no export of a whole register"),
        (lambda tables: tables.update(perch=[{"id": 1}]), "'perch' is no table of this register"),
        (
            lambda tables: tables["bird"][0].update(plumage="grey"),
            "bird[1]: has other columns than the first",
        ),
        (lambda tables: tables["stay"][0].update(bird_id=9999), "references: the register refuses a row"),
        (lambda tables: tables["bird"].append(tables["bird"][0]), "bird: the register refuses a row"),
        (lambda tables: tables.update(bird={"1": {}}), "bird is no list of rows"),
    ],
)
def test_an_export_that_was_spoilt_is_refused_whole(
    demo: tuple[Path, Path], tmp_path: Path, spoil: Any, said: str
) -> None:
    tables = json.loads(demo[1].read_text("utf-8"))
    spoil(tables)
    (tmp_path / "spoilt.json").write_text(json.dumps(tables), "utf-8")
    done = tarsus(tmp_path, "import", "spoilt.json", "--home", "other", "--new", "--apply", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr.replace(": is", " is"), done.stderr
    assert len(done.stderr.strip().splitlines()) <= 2


@pytest.mark.parametrize("name", ["all.json", "all.xlsx", "all"])
def test_an_export_that_cannot_be_finished_leaves_nothing_half_written(
    park: tuple[Path, Path], tmp_path: Path, name: str
) -> None:
    (tmp_path / name / "in the way").mkdir(parents=True)
    done = tarsus(park[1], "export", str(tmp_path / name))
    assert done.returncode == 2, done.stderr
    assert [path.name for path in tmp_path.iterdir()] == [name]
