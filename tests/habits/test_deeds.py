"""One door: no way to write past it, and no order on *Today* without the deed that settles it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from tarsus.core.care.settling import SETTLED_BY
from tarsus.core.deeds.register import DEEDS

SOURCE = Path(__file__).resolve().parents[2] / "src" / "tarsus"
NO_DEEDS = {
    "hear_facts": "the door",
    "hear_device": "the door",
    "write_deed": "the door",
    "write_once": "how one fact is written",
    "insert_once": "how one row is written",
    "read_whole_park": "a whole park, read in bulk",
    "bring_in": "a whole sheet, read in bulk",
    "mend_line": "a line of a sheet that was refused; of a list it is told through the door",
    "leave_out": "a line of a sheet that was refused",
    "save_mapping": "how a sheet is written",
    "keep_checkpoints": "upkeep of what can be computed anew",
    "learn_cameras": "upkeep of what can be computed anew",
    "learn_readers": "upkeep of what can be computed anew",
    "confirm_in_view": "what follows from a sighting, within it",
    "begin_park": "the first person: nobody is there to tell it (decision 0022)",
    "use_code": "a phone that joins: what it writes is when the person last signed in",
    "confirm_second_step": "a code that is used up while somebody signs in: nobody is signed in yet",
    "keys_of_phone": "keys that a phone seals with: what they seal is told later",
    "note_session": "upkeep of who is signed in where",
    "end_session": "upkeep of who is signed in where",
    "clear_pictures": "the days that the park chose are over: nobody tells it, and a record says so",
    "back_up": "a file, not the register",
    "restore": "a file, not the register",
}
"""Public writers that are no deeds, each with why."""


def _writers() -> Iterator[tuple[Path, str]]:
    """Public functions of the actions that open a transaction."""
    for path in sorted((SOURCE / "actions").rglob("*.py")):
        for node in ast.parse(path.read_text("utf-8")).body:
            public = isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
            if public and any(
                ast.unparse(one).startswith(("transaction.atomic", "as_a_whole"))
                for one in node.decorator_list
            ):
                yield path, node.name


def test_every_public_writer_is_bound_to_a_declared_deed() -> None:
    bound = "".join(path.read_text("utf-8") for path in (SOURCE / "actions" / "hearing").glob("*.py"))
    named = {
        node.id
        for node in ast.walk(ast.parse(bound.replace("from __future__ import annotations", "")))
        if isinstance(node, ast.Name)
    }
    faceless = [
        f"{path.name}: {name}" for path, name in _writers() if name not in named and name not in NO_DEEDS
    ]
    assert not faceless, (
        "declare a deed in core/deeds and bind it in actions/hearing: docs/reference/adding-a-deed.md"
    )


def test_pages_and_commands_write_through_the_door_only() -> None:
    writers = {name for _, name in _writers()} - set(NO_DEEDS)
    past = []
    faces = [path for face in ("web", "api", "cli") for path in (SOURCE / face).rglob("*.py")]
    for path in faces:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("tarsus.actions"):
                past += [f"{path.name}: {one.name}" for one in node.names if one.name in writers]
    assert not past, past


BULK_READERS = {
    "insert_rows": {
        *("actions/bulk/inserting.py", "actions/bulk/reader.py"),
        "actions/safekeeping/moving.py",  # into the other database: row for row, with what no export holds
    },
    "executemany": {"actions/bulk/inserting.py"},
    "read_rows": {"actions/bulk/reader.py", "actions/bulk/sheet.py"},
    "read_whole_park": {"actions/bulk/reader.py", "cli/import_park.py", "demo/loaded.py"},
    "write_birds": {"actions/bulk/sheet.py", "actions/imports.py"},
}
"""The one way in for many rows at once, and who calls it: a sheet, an export read back, the demo."""
MAKING = {"create", "bulk_create", "get_or_create", "update_or_create"}


def test_the_demo_the_sheet_and_the_export_go_through_one_bulk_reader() -> None:
    users: dict[str, set[str]] = {name: set() for name in BULK_READERS}
    for path in sorted(SOURCE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            named = {
                getattr(node, "attr", ""),
                getattr(node, "id", ""),
                *([node.name] if isinstance(node, ast.FunctionDef) else []),
            }
            for name in named & users.keys():
                users[name].add(path.relative_to(SOURCE).as_posix())
    assert users == BULK_READERS


def test_no_fact_is_made_past_the_door_and_the_bulk_reader() -> None:
    from tarsus.records.fact_tables import fact_tables

    facts = {table.__name__ for table in fact_tables().values()}
    assert len(facts) > 30
    past = []
    for path in sorted(SOURCE.rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        rows = {
            one.asname or one.name
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("tarsus.records")
            for one in node.names
        } & facts
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call):
                continue
            made = ast.unparse(node.func)
            name, _, how = made.partition(".objects.")
            if name in rows and (how in MAKING or not how):
                past.append(f"{path.relative_to(SOURCE)}:{node.lineno}: {made}")
    assert not past, past


def _kinds_of_duty() -> set[str]:
    """Every kind of duty that the code can derive: the literal ``kind`` of each `Duty` and `_duty`."""
    found: set[str] = set()
    for path in (SOURCE / "core" / "care" / "duties").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "id", "")
            given = [one.value for one in node.keywords if one.arg == "kind"]
            if name in ("_duty", "_open"):
                given += node.args[:2] if name == "_duty" else node.args[:1]
            for value in given:
                found |= {
                    one.value
                    for one in ast.walk(value)
                    if isinstance(one, ast.Constant) and isinstance(one.value, str)
                }
    return found


def test_every_order_on_today_carries_the_deed_that_settles_it() -> None:
    orders = _kinds_of_duty() - {"band "}  # ``band worn``, ``band tight`` … are made of two words
    assert len(orders) > 25
    assert orders - SETTLED_BY.keys() == set()
    assert {deed for deeds in SETTLED_BY.values() for deed in deeds} <= DEEDS.keys()


def test_every_state_of_a_band_has_its_order() -> None:
    from tarsus.core.care.duties.bands import FOUND

    assert {f"band {condition}" for condition in FOUND} <= SETTLED_BY.keys()
