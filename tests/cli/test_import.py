"""`tarsus import`: the example spreadsheet of the invented park into a fresh register, from a shell."""

from __future__ import annotations

import csv
import json
import shutil
import sqlite3
import sys
from pathlib import Path

import openpyxl
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from shell import tarsus, with_person

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SAID = ["--letters", "wader"]
for species in ("Pied avocet=tibia", "Ruff=leg", "African penguin=wing"):
    SAID += ["--species", species]

REFUSED = {
    10: ("Left", "does not say which band is nearer the body"),
    12: ("Right", "'tael' is no colour"),
    13: ("Ring no.", "metal number WB 20417 is worn by Samphire of line 6"),
    21: ("With us since", "'3/4/2023' may be day/month or month/day"),
    22: ("Left", "'LT' names a site"),
    24: ("Species", "'Ruf' is no species"),
    25: ("Species", "no species is named"),
    30: ("Aviary", "nearly 'Penguin Shore'"),
}


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh register with one person, made once."""
    return with_person(tmp_path_factory.mktemp("parks") / "empty")


@pytest.fixture
def home(empty: Path, tmp_path: Path) -> Path:
    """A register of this test's own."""
    return Path(shutil.copytree(empty, tmp_path / "home"))


def names(home: Path) -> list[str]:
    with sqlite3.connect(home / "register.sqlite3") as register:
        return [name for (name,) in register.execute("select house_name from records_bird order by id")]


def test_a_dry_run_tells_every_line_and_writes_nothing(home: Path) -> None:
    done = tarsus(home, "import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID, "--json")
    assert done.returncode == 1, done.stderr
    told = json.loads(done.stdout)
    assert (told["sheet"], told["other_sheets"], told["applied"]) == ("Birds 2026", ["Feed"], False)
    assert told["columns"]["Aviary"] == "exhibit"
    assert told["columns"]["Temper"] is None
    refused = {one["line"]: one for one in told["refused"]}
    assert {line: (one["field"], True) for line, one in refused.items()} == {
        line: (field, reason in refused[line]["reason"]) for line, (field, reason) in REFUSED.items()
    }
    assert all(one["remedy"] for one in told["refused"])
    warned = {one["line"]: one["text"] for one in told["warnings"]}
    assert "same marks as Thrift of line 9" in warned[11]
    assert "2 metal bands on the left leg" in warned[19]
    assert "'Reed House' stands alone" in warned[15]
    assert "no day of the calendar: recorded as not known" in warned[29]
    assert told["new_species"] == ["Pied avocet", "Ruff", "African penguin"]
    assert len(told["birds"]) == 13
    assert names(home) == []


def test_the_dates_and_sexes_of_the_example_are_read_as_they_are_meant(home: Path) -> None:
    told = json.loads(tarsus(home, "import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID, "--json").stdout)
    birds = {one["name"]: one for one in told["birds"]}
    assert {name: birds[name]["hatched"] for name in ("Samphire", "Kelp", "Sedge", "Thrift", "Orache")} == {
        "Samphire": "2019-05-14",
        "Kelp": "2019-05-17",
        "Sedge": "about 2019-04",
        "Thrift": "2019-05-17",
        "Orache": "about 2018-07",
    }
    assert [birds[name]["sex"] for name in ("Samphire", "Kelp", "Sedge", "Thrift", "Orache")] == list("FMFUF")
    assert birds["Samphire"]["marks"] == {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    assert birds["Kelp"]["marks"] == {"left tibia": ["yellow", "green"], "right tibia": ["metal"]}
    assert birds["Tansy"]["marks"] == {"right wing": ["orange", "pale blue"]}


def test_refused_lines_come_as_a_workbook_with_the_reason_beside_the_cell(home: Path) -> None:
    words = ["import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID, "--refused", "mend.xlsx", "--apply"]
    done = tarsus(home, *words)
    assert done.returncode == 1, done.stderr
    assert "mend.xlsx" in done.stdout
    book = openpyxl.load_workbook(home / "mend.xlsx")
    headings, *rows = book.active.iter_rows(values_only=True)
    assert [row[-1] for row in rows] == [f"1/{line}" for line in REFUSED]
    right = headings.index("Right")
    assert headings[right + 1] == "why refused: Right"
    tael = next(row for row in rows if row[-1] == "1/12")
    assert tael[right] == "tael"
    assert tael[right + 1].startswith("'tael' is no colour")

    book.active.cell([row[-1] for row in rows].index("1/12") + 2, right + 1).value = "pale blue"
    book.save(home / "mend.xlsx")
    tarsus(home, "import", "mend.xlsx", "--mapping", "wendlebrook.xlsx", "--apply")
    assert "Spurrey" in names(home)


def test_good_lines_go_in_and_the_refused_ones_come_back_mended(home: Path) -> None:
    done = tarsus(home, "import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID, "--apply")
    assert done.returncode == 1, done.stderr
    assert "13 birds were brought in, 8 lines are refused." in done.stdout
    assert names(home)[:3] == ["Samphire", "Kelp", "Sedge"]

    waiting = home / "wendlebrook-refused.csv"
    with waiting.open(encoding="utf-8-sig", newline="") as there:
        rows = list(csv.DictReader(there))
    assert [row["refused line"] for row in rows] == [f"1/{line}" for line in REFUSED]
    mends = {"Marram": ("Left", "RB"), "Spurrey": ("Right", "P")}
    mends |= {
        "Campion": ("Ring no.", "WB 20424"),
        "Lovage": ("Aviary", "Penguin Shore"),
        "Nettle": ("Left", "m"),
    }
    mends |= {"Lapwing's Ghost": ("Species", "Ruff"), "Sorrel": ("With us since", "2023-07-03")}
    for row in rows:
        column, text = mends.get(row["Bird"], ("Species", "Ruff"))
        row[column] = text
    with waiting.open("w", encoding="cp1252", newline="") as there:
        again = csv.DictWriter(there, list(rows[0]), delimiter=";")
        again.writeheader()
        again.writerows(rows)

    done = tarsus(home, "import", str(waiting), "--mapping", "wendlebrook.xlsx", "--apply")
    assert done.returncode == 0, done.stdout + done.stderr
    assert len(names(home)) == 21
    with sqlite3.connect(home / "register.sqlite3") as register:
        query = "select count(*) from records_refusedrow where mended_at is null"
        assert register.execute(query).fetchone() == (0,)

    once_more = tarsus(home, "import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID, "--apply", "--json")
    assert json.loads(once_more.stdout)["birds"] == []
    assert len(names(home)) == 21


def test_all_or_nothing_is_one_sentence_and_writes_nothing(home: Path) -> None:
    done = tarsus(home, "import", str(EXAMPLES / "wendlebrook.csv"), *SAID, "--apply", "--all-or-nothing")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("tarsus: nothing was brought in: line 10, Left: ")
    assert len(done.stderr.splitlines()) == 1
    assert names(home) == []


def test_the_csv_of_an_old_program_tells_the_same_birds(home: Path) -> None:
    def marks(file: str) -> dict[str, object]:
        told = json.loads(tarsus(home, "import", str(EXAMPLES / file), *SAID, "--json").stdout)
        return {one["name"]: (one["marks"], one["sex"], one["hatched"]) for one in told["birds"]}

    # The CSV has no merged cells: there every line names its species, so that line 25 goes in.
    workbook, text = marks("wendlebrook.xlsx"), marks("wendlebrook.csv")
    assert workbook.items() <= text.items()


def test_letters_are_asked_and_never_guessed(home: Path) -> None:
    looked_at = tarsus(home, "import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID[2:], "--json")
    assert looked_at.returncode == 1
    assert json.loads(looked_at.stdout)["asked"]["letters"]["B"] == ["blue", "black", "brown"]
    done = tarsus(home, "import", str(EXAMPLES / "wendlebrook.xlsx"), *SAID[2:], "--apply")
    assert (done.returncode, done.stdout) == (2, "")
    assert "B may be blue or black or brown" in done.stderr
    assert "say which letters the park uses" in done.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ["nowhere.xlsx"],
            "tarsus: nowhere.xlsx: cannot be read (No such file or directory); look at its name",
        ),
        (["{csv}", "--letters", "B=teal"], "tarsus: letters: 'teal' is no colour of the palette"),
        (["{csv}", "--column", "Temper"], "tarsus: --column: 'Temper' is no pair; write it as NAME=MEANING"),
        (["{csv}", "--column", "Tempre=note"], "'Tempre' is no column of this table; did you mean 'Temper'?"),
        (["{csv}", "--mapping", "spring"], "tarsus: mapping: 'spring' is no saved mapping"),
        (["{csv}", "--species", "Ruff=foot"], "'foot' is no choice; known are leg, tibia, wing, none"),
        (
            ["{csv}", "--apply", "--by", "corni"],
            "'corni' is no person of this register; did you mean 'corin'?",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(home: Path, words: list[str], said: str) -> None:
    spoken = [word.format(csv=EXAMPLES / "wendlebrook.csv") for word in words]
    done = tarsus(home, "import", *spoken)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_nobody_brings_anything_in_before_there_is_a_person(tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text("bird,species,exhibit,marks\nKelp,Ruff,Reed House,m/W\n")
    words = ("import", "one.csv", "--species", "Ruff=leg")
    done = tarsus(tmp_path, *words, "--apply")
    assert (done.returncode, done.stdout) == (2, "")
    assert "register: none is at" in done.stderr
    assert tarsus(tmp_path, "manage", "migrate", "--new", "--verbosity", "0").returncode == 0
    done = tarsus(tmp_path, *words, "--apply")
    assert (done.returncode, done.stdout) == (2, "")
    assert "tarsus manage createsuperuser" in done.stderr


def test_a_look_at_a_file_makes_no_register(tmp_path: Path) -> None:
    home = tmp_path / "mistyped"
    (tmp_path / "one.csv").write_text("bird,species,exhibit,marks\nKelp,Ruff,Reed House,m/W\n")
    done = tarsus(home, "import", str(tmp_path / "one.csv"), "--species", "Ruff=leg", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "1 bird would go in" in done.stdout
    assert f"register: none is at {home}" in done.stderr
    assert "start a new park there with: tarsus serve" in done.stderr
    assert "Making" not in done.stderr
    assert not home.exists()


def test_a_table_is_taken_from_standard_input(home: Path) -> None:
    table = b"bird,species,exhibit,marks\nKelp,Ruff,Reed House,m/W\n"
    done = tarsus(home, "import", "-", "--species", "Ruff=leg", "--apply", stdin=table)
    assert done.returncode == 0, done.stderr
    assert names(home) == ["Kelp"]


def test_the_committed_example_is_what_its_script_writes(tmp_path: Path) -> None:
    import importlib.util

    import openpyxl

    script = EXAMPLES.parent / "scripts" / "write_example_spreadsheet.py"
    spec = importlib.util.spec_from_file_location("write_example_spreadsheet", script)
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    made.write_csv(tmp_path / "w.csv")
    made.write_workbook(tmp_path / "w.xlsx")
    assert (tmp_path / "w.csv").read_bytes() == (EXAMPLES / "wendlebrook.csv").read_bytes()
    for sheet in ("Birds 2026", "Feed"):
        new, kept = (
            openpyxl.load_workbook(path)[sheet]
            for path in (tmp_path / "w.xlsx", EXAMPLES / "wendlebrook.xlsx")
        )
        assert list(new.values) == list(kept.values)
        assert {str(area) for area in new.merged_cells.ranges} == {
            str(area) for area in kept.merged_cells.ranges
        }


SHEETS = Path(__file__).resolve().parents[1] / "tables" / "sheets"


def test_questions_are_asked_once_a_file_and_their_answers_are_kept(home: Path) -> None:
    said = ["--letters", "wader", "--species", "Ruff=leg", "--json"]
    looked = tarsus(home, "import", str(SHEETS / "abbreviations.csv"), *said)
    assert looked.returncode == 0, looked.stderr
    told = json.loads(looked.stdout)
    gn = next(one for one in told["questions"] if one["about"] == "gn")
    assert (gn["field"], gn["lines"], gn["proposals"]) == ("marks", [2, 10], [["green", "black"], ["green"]])
    assert gn["say"] == "--read gn=green"
    assert {one["line"] for one in told["birds"]}.isdisjoint(told["held_up"])
    unanswered = tarsus(home, "import", str(SHEETS / "abbreviations.csv"), *said, "--apply")
    assert (unanswered.returncode, unanswered.stdout) == (2, "")
    assert "What does 'gn' stand for? Say it with --read gn=green" in unanswered.stderr
    answers = ["--read", "gn=green", "--read", "sw=black", "--read", "BK=black", "--read", "BL=blue"]
    answers += ["--read", "Gr=grey", "--read", "WYG=white,yellow,green", "--small-letters"]
    done = tarsus(home, "import", str(SHEETS / "abbreviations.csv"), *said, *answers, "--apply")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["questions"] == []
    again = tarsus(
        home, "import", str(SHEETS / "abbreviations.csv"), "--mapping", "abbreviations.csv", "--json"
    )
    assert json.loads(again.stdout)["questions"] == []
    assert len(json.loads(again.stdout)["in_before"]) == 9


def test_dead_and_departed_birds_are_no_living_ones_and_their_numbers_stay_used(home: Path) -> None:
    said = ["--letters", "wader", "--species", "Ruff=leg"]
    done = tarsus(home, "import", str(SHEETS / "gone.csv"), *said, "--apply", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    gone = {one["name"] for one in told["birds"] if not one["living"]}
    assert gone == {"Kelp", "Sedge", "Thrift", "Marram"}
    exported = json.loads(tarsus(home, "export", "-").stdout)
    assert {row["name"] for row in exported["birds"]} & gone == set()
    assert (len(exported["death"]), len(exported["departure"])) == (2, 2)
    held = {row["name"] for row in exported["colour"] if row["held"]}
    assert held == {"yellow", "green", "red", "white", "orange", "pink", "blue"}
    assert len(exported["colour"]) == 13, "every colour can be read, whether it is held or not"
    (home / "again.csv").write_text(
        "Bird,Species,Aviary,Bands,Ring no.\nReed,Ruff,Lagoon,m/Y,WB 102\n", "utf-8"
    )
    again = json.loads(tarsus(home, "import", "again.csv", *said, "--json", cwd=home).stdout)
    assert "metal number WB 102 is worn by Kelp" in again["refused"][0]["reason"]


def test_a_cell_that_is_not_understood_is_answered_for_every_line_alike(home: Path) -> None:
    lines = "Bird,Species,Sex,Aviary,Left,Right\nKelp,Ruff,hane,Lagoon,metal,yellow\n"
    lines += "Sedge,Ruff,Hane,Lagoon,yellow,metal\n"
    (home / "cells.csv").write_text(lines, "utf-8")
    words = ("import", "cells.csv", "--species", "Ruff=leg", "--json")
    told = json.loads(tarsus(home, *words, cwd=home).stdout)
    assert [(one["about"], one["lines"]) for one in told["questions"]] == [("hane", [2, 3])]
    assert told["questions"][0]["say"] == '--cell "sex:hane=F"'
    done = tarsus(home, *words, "--cell", "sex:hane=M", cwd=home)
    assert (done.returncode, json.loads(done.stdout)["questions"]) == (0, [])
    wrong = tarsus(home, *words, "--cell", "hane=M", cwd=home)
    assert "write it as FIELD:TEXT=MEANING" in wrong.stderr


def test_a_list_of_weights_is_looked_at_told_and_told_once(home: Path, tmp_path: Path) -> None:
    (tmp_path / "birds.csv").write_text(
        "bird,species,exhibit,since,marks\n"
        "Kelp,Ruff,Reed House,2024-01-01,m/W\nSedge,Ruff,Reed House,2024-01-01,W/m\n"
    )
    birds = (str(tmp_path / "birds.csv"), "--species", "Ruff=leg", "--letters", "W=white")
    assert tarsus(home, "import", *birds, "--apply").returncode == 0
    sheet = tmp_path / "gewichte.csv"
    sheet.write_text("Vogel;Datum;Gewicht\nKelp;3.4.2026;152,5\nSedgge;3.4.2026;148\nJuli;Juli;\n")
    looked = tarsus(home, "import", str(sheet))
    assert "Read as a list of weights" in looked.stdout
    assert "'Juli' stands alone in its line; passed over" in looked.stdout
    assert 'First say: --once "where=in hand"' in looked.stdout
    refused = tarsus(home, "import", str(sheet), "--apply")
    assert refused.returncode == 2
    assert "What holds for every line of this file?" in refused.stderr
    once = ("import", str(sheet), "--once", "where=in hand", "--apply", "--json")
    done = tarsus(home, *once, "--refused", str(tmp_path / "waits.xlsx"))
    assert done.returncode == 1, done.stderr
    told = json.loads(done.stdout)
    assert [(one["line"], one["says"]) for one in told["lines"]] == [(2, "2026-04-03: 152.5 g, in hand")]
    assert told["refused"][0]["field"] == "Vogel"
    assert openpyxl.load_workbook(tmp_path / "waits.xlsx").active["B1"].value == "why refused: Vogel"
    again = json.loads(tarsus(home, *once, "--cell", "bird:Sedgge=Sedge").stdout)
    assert again["in_before"] == [2]
    assert [one["of"] for one in again["lines"]] == ["Sedge"]


def test_a_log_of_rounds_is_told_from_a_shell(home: Path, tmp_path: Path) -> None:
    (tmp_path / "birds.csv").write_text(
        "bird,species,exhibit,since,marks\nKelp,Ruff,Reed House,2024-01-01,m/W\n"
    )
    birds = (str(tmp_path / "birds.csv"), "--species", "Ruff=leg", "--letters", "W=white")
    assert tarsus(home, "import", *birds, "--apply").returncode == 0
    log = tmp_path / "log.csv"
    log.write_text("Datum;Uhrzeit;Voliere;Art;Gezählt;Pfleger\n3.4.2026;7:40;Reed House;Ruff;1;JM\n")
    done = tarsus(home, "import", str(log), "--apply")
    assert done.returncode == 0, done.stderr
    assert "Read as a list of rounds" in done.stdout
    assert "2026-04-03 07:40: 1 counted; nobody named, left open" in done.stdout


def test_an_old_roll_sheet_is_asked_about_told_by_days_and_told_once(home: Path, tmp_path: Path) -> None:
    (tmp_path / "birds.csv").write_text(
        "bird,species,exhibit,since,marks\n"
        "Kelp,Ruff,Reed House,2024-01-01,m/W\nSedge,Ruff,Reed House,2024-01-01,W/m\n"
    )
    birds = (str(tmp_path / "birds.csv"), "--species", "Ruff=leg", "--letters", "W=white")
    assert tarsus(home, "import", *birds, "--apply").returncode == 0
    sheet = tmp_path / "april.csv"
    sheet.write_text("April;;;\nVogel;Sa 3;So 4;Mo 5\nKelp;x;n.g.;\nSedge;x;x;x\nSedgge;x;;\n")
    looked = tarsus(home, "import", str(sheet))
    assert "Read as a list of ticks" in looked.stdout
    assert "Sa 3 … Mo 5 (3 columns) as tick" in looked.stdout
    signs = ("--cell", "tick:x=seen", "--cell", "tick:n.g.=not seen")
    once = ("--once", "blank=nothing said", "--once", "time=not known", "--once", "month=2026-04")
    told = tarsus(
        home, "import", str(sheet), *signs, *once, "--apply", "--refused", str(tmp_path / "waits.xlsx")
    )
    assert told.returncode == 1, told.stderr
    assert "2026-04-04: 1 seen, 1 not seen (Kelp); a round of ruff" in told.stdout
    assert "3 days were told, 1 line is refused." in told.stdout
    assert openpyxl.load_workbook(tmp_path / "waits.xlsx").active["B1"].value == "why refused: Vogel"
    again = json.loads(tarsus(home, "import", str(sheet), "--mapping", "april.csv", "--json").stdout)
    assert (again["what"], again["lines"], again["in_before"]) == ("ticks", [], [3, 4])
