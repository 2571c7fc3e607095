"""Break core and actions on purpose, mutant by mutant (mutmut), and say how many the tests notice.

    make mutation                                  a fixed sample of core and one of actions
    make mutation SEED=11                          other samples
    make mutation MODULE=core/care/weights.py      every mutant of one module

Modules are run with the tests of their own areas only, in a copy of the tree, so that nothing here changes. A
sample draws modules by their length and then mutants within each, both from the seed.
docs/running/mutation.md has the score.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import libcst as cst

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "tarsus"
TESTS = {
    # area: the tests that hold it
    "core/care": ["tests/unit/care", "tests/cli/test_care_commands.py"],
    "core/choosing": ["tests/unit/choosing"],
    "core/deeds": ["tests/unit/deeds", "tests/deeds/test_columns.py", "tests/habits/test_reference.py"],
    "core/documents": ["tests/cli", "tests/unit/presence"],
    "core/marks": ["tests/unit/marks"],
    "core/photographs": ["tests/unit/photographs"],
    "core/presence": ["tests/unit/presence"],
    "core/readings": ["tests/unit/readings"],
    "core/rounds": ["tests/unit/rounds"],
    "core/words": ["tests/unit/words"],
    "actions": ["tests/actions", "tests/deeds", "tests/queries"],
}
"""Properties, pages and browsers are not run: what they alone would notice counts as survived."""
_STARTS_PROGRAMS = re.compile(r"^(?:from shell |import subprocess)", re.MULTILINE)
"""Tests that start `tarsus` as a program of its own: it runs what is installed, and never the mutant."""
DECLARATIONS = "core/deeds"
"""They are made when they are imported: mutmut forks after that, so each is tried in a new process."""
SEED, MUTANTS = 10, 8
MODULES = {"core": 10, "actions": 8}
NOTICED = {"killed", "timeout", "segfault", "caught by type check"}

SETTINGS = """
[tool.mutmut]
source_paths = ["src/tarsus"]
only_mutate = {modules}
pytest_add_cli_args = [
  "-x", "-p", "no:randomly", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestConfigWarning",
  "-m", "not browser and not postgresql",
]
pytest_add_cli_args_test_selection = {tests}
also_copy = ["src", "docs", "scripts", "examples", "pyproject.toml"]
use_git_change_detection = false
"""


class Undecorated(cst.CSTTransformer):
    """A function run in a transaction by its decorator is run in it by its first statement.

    It does the same; but the tool breaks no function that has a decorator, and most deeds have this one.
    """

    def leave_FunctionDef(
        self, original_node: cst.FunctionDef, updated_node: cst.FunctionDef
    ) -> cst.FunctionDef:
        atomic = cst.parse_expression("transaction.atomic")
        if [one.decorator.deep_equals(atomic) for one in updated_node.decorators] != [True]:
            return updated_node
        lines = list(cst.ensure_type(updated_node.body, cst.IndentedBlock).body)
        said = lines[:1] if original_node.get_docstring() is not None else []
        within = cst.ensure_type(cst.parse_statement("with transaction.atomic():\n    pass"), cst.With)
        within = within.with_changes(body=cst.IndentedBlock(lines[len(said) :]))
        return updated_node.with_changes(decorators=[], body=cst.IndentedBlock([*said, within]))


def undecorate(work: Path) -> None:
    """Rewrite the actions of a copy of the tree so that the tool can break all of them."""
    for path in sorted((work / "src" / "tarsus" / "actions").rglob("*.py")):
        path.write_text(cst.parse_module(path.read_text("utf-8")).visit(Undecorated()).code, "utf-8")


def tests_of(module: str) -> list[str]:
    """The test files of a module's area that import it, or else what imports it, at up to three removes.

    Actions are reached through the one door and its table of deeds, which imports do not show: all tests of
    their area are run, of which the tool takes those that it has seen reach the function.
    """
    area = max((one for one in TESTS if module.startswith(one)), key=len, default="")
    if not area:
        raise SystemExit(f"{module} belongs to no area of scripts/mutation.py; add it to TESTS")
    dotted = "tarsus." + module.removesuffix(".py").replace("/", ".")
    there = [path for name in TESTS[area] for path in sorted((ROOT / name).rglob("test_*.py"))]
    there += [ROOT / name for name in TESTS[area] if name.endswith(".py")]
    there = [path for path in there if not _STARTS_PROGRAMS.search(path.read_text("utf-8"))]
    everything = [str(path.relative_to(ROOT)) for path in there]
    if area.startswith("actions"):
        return everything
    wanted = {dotted}
    for _ in range(4):
        own = [path for path in there if _names(path, wanted)]
        if own:
            return [str(path.relative_to(ROOT)) for path in own]
        importers = [path for path in SOURCE.rglob("*.py") if _names(path, wanted)]
        wanted = {".".join(path.relative_to(ROOT / "src").with_suffix("").parts) for path in importers}
    return everything


def _names(path: Path, modules: set[str]) -> bool:
    """Whether a file names any of these modules, such as in an import."""
    return any(re.search(rf"\b{re.escape(name)}\b", path.read_text("utf-8")) for name in modules)


def broken(modules: list[str], work: Path, seed: int | None) -> dict[str, dict[str, str]]:
    """Module -> each mutant that was run, by name, with what became of it: all of them, or so many drawn."""
    from mutmut.stats import status_by_exit_code

    tests = sorted({path for module in modules for path in tests_of(module)})
    settings = SETTINGS.format(
        modules=json.dumps([f"src/tarsus/{module}" for module in modules]), tests=json.dumps(tests)
    )
    (work / "pyproject.toml").write_text((ROOT / "pyproject.toml").read_text("utf-8") + settings, "utf-8")
    shutil.rmtree(work / "mutants", ignore_errors=True)
    chosen = {module: drawn(module, work, seed) for module in modules}
    later = [name for module, names in chosen.items() if not _made_at_import(module) for name in names]
    if later:
        _mutmut(work, later)
    became = {}
    for module, names in chosen.items():
        told = _imported_broken(module, names, work) if _made_at_import(module) else _told(work, module)
        became[module] = {name: status_by_exit_code[told[name]] for name in names}
    return became


def _made_at_import(module: str) -> bool:
    return module.startswith(f"{DECLARATIONS}/")


def _imported_broken(module: str, names: list[str], work: Path) -> dict[str, int | None]:
    """How the tests of declarations end where these are imported broken: 0 where nothing was noticed."""
    from mutmut.mutation.file_mutation import mutate_file_contents

    with tempfile.TemporaryDirectory() as folder:
        copy = Path(shutil.copytree(work, Path(folder) / "copy", ignore=shutil.ignore_patterns("mutants")))
        path = copy / "src" / "tarsus" / module
        made = mutate_file_contents(str(path.relative_to(copy)), path.read_text("utf-8"))
        path.write_text(made.code, "utf-8")
        told = {name: _in_new_process(name, copy) for name in ("", *names)}
    if told.pop(""):
        raise SystemExit(f"the tests of {DECLARATIONS} fail before anything is broken")
    return dict(told)


def _in_new_process(name: str, copy: Path) -> int:
    # The links between documents are found by git, and the copy is no repository.
    left_out = "tests/habits/test_reference.py::test_documents_for_people_lead_somewhere"
    words = ["-q", "-x", "-p", "no:cacheprovider", "--deselect", left_out]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *words, *TESTS[DECLARATIONS]],
        cwd=copy,
        env={**os.environ, "MUTANT_UNDER_TEST": name, "PYTHONPATH": str(copy / "src")},
        capture_output=True,
        check=False,
    )
    return min(done.returncode, 1)


def drawn(module: str, work: Path, seed: int | None) -> list[str]:
    """The names of a module's mutants: all, or so many of them."""
    from mutmut.mutation.file_mutation import mutate_file_contents
    from mutmut.utils.format_utils import get_mutant_name

    path = Path("src", "tarsus", module)
    made = mutate_file_contents(str(path), (work / path).read_text("utf-8"))
    names = sorted(get_mutant_name(path, name) for name in made.mutant_names)
    if seed is None:
        return names
    return random.Random(f"{seed} {module}").sample(names, min(MUTANTS, len(names)))


def _told(work: Path, module: str) -> dict[str, int | None]:
    kept = work / "mutants" / "src" / "tarsus" / f"{module}.meta"
    if not kept.exists():
        return {}
    found: dict[str, int | None] = json.loads(kept.read_text("utf-8"))["exit_code_by_key"]
    return found


def _mutmut(work: Path, names: list[str]) -> None:
    mutmut = Path(sys.executable).parent / "mutmut"
    done = subprocess.run(
        [mutmut, "run", "--max-children", os.environ.get("MUTATION_CHILDREN", "2"), *names],
        cwd=work,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode or "failed to collect stats" in done.stdout:
        raise SystemExit(f"the tests fail before anything is broken:\n{(done.stdout + done.stderr)[-3000:]}")


def sampled_modules(layer: str, seed: int) -> list[str]:
    """Modules of a layer, drawn without return, each by its length."""
    draw = random.Random(seed)
    paths = [path for path in sorted((SOURCE / layer).rglob("*.py")) if path.name != "__init__.py"]
    weight = {str(p.relative_to(SOURCE)): len(p.read_text("utf-8").splitlines()) for p in paths}
    # Efraimidis and Spirakis: the largest u^(1/weight) are a sample by weight.
    keys = {name: draw.random() ** (1.0 / lines) for name, lines in weight.items()}
    return sorted(sorted(keys, key=lambda name: -keys[name])[: MODULES[layer]])


def interval(shares: list[float]) -> tuple[float, float]:
    """The mean of the modules' shares with its 95 % interval (normal, from their spread)."""
    mean = sum(shares) / len(shares)
    spread = math.sqrt(sum((share - mean) ** 2 for share in shares) / max(1, len(shares) - 1))
    return mean, 1.96 * spread / math.sqrt(len(shares))


def score(modules: list[str], work: Path, seed: int | None) -> None:
    """Run modules, printing what survives, and then the share that was noticed."""
    shares = []
    for module, told in broken(modules, work, seed).items():
        if not told:
            print(f"{module}: has no function to break, left out", flush=True)
            continue
        alive = [name for name, became in told.items() if became not in NOTICED]
        shares.append(1.0 - len(alive) / len(told))
        print(f"{module}: {len(told) - len(alive)} of {len(told)} noticed", flush=True)
        for name in alive:
            print(f"    {name}: {told[name]}", flush=True)
    if not shares:
        print("nothing was run, so there is no score", flush=True)
        return
    mean, half = interval(shares)
    print(
        f"{100 * mean:.0f} % ± {100 * half:.0f} noticed, mean of {len(shares)} modules (95 % interval)",
        flush=True,
    )


def main() -> None:
    """Run the modules that were named, or the samples, or one of them."""
    parser = argparse.ArgumentParser(description="Say how many deliberate mistakes the tests notice.")
    parser.add_argument("module", nargs="*", help="below src/tarsus; none: both samples")
    parser.add_argument("--layer", choices=sorted(MODULES), help="only this layer's sample")
    parser.add_argument("--seed", type=int, default=SEED, help="of the samples")
    parser.add_argument("--drawn", action="store_true", help="of the named modules too, only so many mutants")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        for name in ("src", "tests", "docs", "scripts", "examples"):
            shutil.copytree(ROOT / name, work / name)
        undecorate(work)
        if asked.module:
            score(asked.module, work, asked.seed if asked.drawn else None)
            return
        for layer in [asked.layer] if asked.layer else MODULES:
            print(f"== {layer}, {MUTANTS} mutants a module, seed {asked.seed}", flush=True)
            score(sampled_modules(layer, asked.seed), work, asked.seed)


if __name__ == "__main__":
    main()
