"""Break core and actions on purpose, mutant by mutant (mutmut), and say how many the tests notice.

    make mutation                                  a fixed sample of core and one of actions
    make mutation MODULE=core/care/weights.py      every mutant of one module

Each module is run with the tests of its own area only, in a copy of the tree, so that nothing here changes. A
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

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "tarsus"
TESTS = {
    # area: the tests that hold it
    "core/care": ["tests/unit/care", "tests/cli/test_care_commands.py"],
    "core/choosing": ["tests/unit/choosing"],
    "core/deeds": ["tests/unit/deeds"],
    "core/documents": ["tests/cli", "tests/unit/presence"],
    "core/marks": ["tests/unit/marks"],
    "core/photographs": ["tests/unit/photographs"],
    "core/presence": ["tests/unit/presence"],
    "core/readings": ["tests/unit/readings"],
    "core/rounds": ["tests/unit/rounds"],
    "core/words": ["tests/unit/words"],
    "actions": ["tests/actions", "tests/deeds"],
}
"""Properties, pages and browsers are not run: what they alone would notice counts as survived."""
SEED, MUTANTS = 10, 8
MODULES = {"core": 10, "actions": 4}
NOT_RUN = "not checked"
NOTICED = {"killed", "timeout", "segfault", "caught by type check"}

SETTINGS = """
[tool.mutmut]
source_paths = ["src/tarsus"]
only_mutate = ["src/tarsus/{module}"]
pytest_add_cli_args = [
  "-x", "-p", "no:randomly", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestConfigWarning",
  "-m", "not browser and not postgresql",
]
pytest_add_cli_args_test_selection = {tests}
also_copy = ["src", "docs", "scripts", "examples", "pyproject.toml"]
use_git_change_detection = false
"""


def tests_of(module: str) -> list[str]:
    """The test files of a module's area that import it, or else what imports it, at up to three removes."""
    area = max((one for one in TESTS if module.startswith(one)), key=len, default="")
    if not area:
        raise SystemExit(f"{module} belongs to no area of scripts/mutation.py; add it to TESTS")
    dotted = "tarsus." + module.removesuffix(".py").replace("/", ".")
    there = [path for name in TESTS[area] for path in sorted((ROOT / name).rglob("test_*.py"))]
    there += [ROOT / name for name in TESTS[area] if name.endswith(".py")]
    wanted = {dotted}
    for _ in range(4):
        own = [path for path in there if _names(path, wanted)]
        if own:
            return [str(path.relative_to(ROOT)) for path in own]
        importers = [path for path in SOURCE.rglob("*.py") if _names(path, wanted)]
        wanted = {".".join(path.relative_to(ROOT / "src").with_suffix("").parts) for path in importers}
    return [str(path.relative_to(ROOT)) for path in there]


def _names(path: Path, modules: set[str]) -> bool:
    """Whether a file names any of these modules, such as in an import."""
    return any(re.search(rf"\b{re.escape(name)}\b", path.read_text("utf-8")) for name in modules)


def mutants_of(module: str, work: Path, draw: random.Random | None) -> dict[str, str]:
    """Each mutant that was run, by name, with what became of it: all of them, or so many drawn."""
    tests = json.dumps(tests_of(module))
    (work / "pyproject.toml").write_text(
        (ROOT / "pyproject.toml").read_text("utf-8") + SETTINGS.format(module=module, tests=tests), "utf-8"
    )
    shutil.rmtree(work / "mutants", ignore_errors=True)
    kept = work / "mutants" / "src" / "tarsus" / f"{module}.meta"
    chosen: list[str] = []
    if draw is not None:
        _mutmut(work, ["a name that no mutant has"])  # makes them and times the tests, and runs none
        names = sorted(_told(kept))
        chosen = draw.sample(names, min(MUTANTS, len(names)))
        if not chosen:
            return {}
    _mutmut(work, chosen)
    from mutmut.stats import status_by_exit_code

    told = _told(kept)
    return {name: status_by_exit_code[told[name]] for name in (chosen or sorted(told))}


def _told(kept: Path) -> dict[str, int | None]:
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
    if "failed to collect stats" in done.stdout:
        raise SystemExit(f"the tests fail before anything is broken:\n{done.stdout[-3000:]}")


def sampled_modules(layer: str) -> list[str]:
    """Modules of a layer, drawn without return, each by its length."""
    draw = random.Random(SEED)
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


def score(modules: list[str], work: Path, draw: random.Random | None) -> None:
    """Run modules, printing what survives, and then the share that was noticed."""
    shares = []
    for module in modules:
        told = {name: became for name, became in mutants_of(module, work, draw).items() if became != NOT_RUN}
        if not told:
            # Nothing to break, or the tool sees no test reach it: functions called through a table, for one.
            print(f"{module}: nothing that could be run, left out", flush=True)
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
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        for name in ("src", "tests", "docs", "scripts", "examples"):
            shutil.copytree(ROOT / name, work / name)
        if asked.module:
            score(asked.module, work, None)
            return
        for layer in [asked.layer] if asked.layer else MODULES:
            print(f"== {layer}, {MUTANTS} mutants a module, seed {SEED}", flush=True)
            score(sampled_modules(layer), work, random.Random(SEED))


if __name__ == "__main__":
    main()
