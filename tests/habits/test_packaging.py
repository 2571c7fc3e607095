"""What is copied to a machine names what is there: settings, files, versions."""

from __future__ import annotations

import json
import re
import subprocess
import tomllib
import urllib.request
from pathlib import Path
from typing import Any
from urllib.request import Request

import pytest
import yaml

from tarsus.server.environment import SETTINGS

ROOT = Path(__file__).resolve().parents[2]
PACKAGING = ROOT / "packaging"
# The two of the compose file's own that are no settings of Tarsus.
OF_COMPOSE = {"TARSUS_DB_PASSWORD"}


def _lines(name: str) -> list[str]:
    text = (PACKAGING / name).read_text(encoding="utf-8")
    return [line for line in text.replace("\\\n", " ").splitlines() if not line.lstrip().startswith("#")]


def test_one_version_is_written_wherever_one_is() -> None:
    written = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    changelog = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert re.findall(r"^## (\S+)", changelog, re.MULTILINE)[0] == written, "what changed since the last one"
    told = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "docs" / "running").glob("*.md"))
    assert set(re.findall(r"tarsus-([\d.]+)-py3", told)) == {written}


def test_only_settings_that_exist_are_given() -> None:
    known = {setting.name for setting in SETTINGS} | OF_COMPOSE
    for path in sorted(path for path in PACKAGING.rglob("*") if path.is_file()):
        if path.parent.name in ("completion", "man"):
            continue
        unknown = set(re.findall(r"\bTARSUS_[A-Z_]+", path.read_text(encoding="utf-8"))) - known
        assert not unknown, f"{path.name}: {unknown}"


def test_the_container_copies_what_the_source_has_and_runs_as_nobody_in_particular() -> None:
    lines = _lines("container/Containerfile")
    copied = [line.split()[1:-1] for line in lines if line.startswith("COPY ") and "--from" not in line]
    assert copied
    for name in (name for names in copied for name in names):
        assert (ROOT / name).exists(), name
    users = [line.split()[1] for line in lines if line.startswith("USER ")]
    assert users == ["tarsus"]
    installs = [line for line in lines if "pip install" in line]
    assert all("--require-hashes" in line for line in installs if not line.endswith(" ."))
    assert not any(" -c " in line for line in installs), "a bare name is refused beside hashes"
    bases = [line.split()[1] for line in lines if line.startswith("FROM ")]
    assert all(re.fullmatch(r"python:3\.\d+-slim-\w+", base) for base in bases), "a version each, no *latest*"


def test_the_driver_of_postgresql_is_taken_from_the_lock_whole() -> None:
    (line,) = [line for line in _lines("container/Containerfile") if "awk" in line]
    taken = line.removeprefix("RUN ").split(" > ")[0]
    lock = subprocess.run(["sh", "-c", taken], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    pinned = re.findall(r"^(psycopg[a-z-]*)==[\d.]+[^\n]*\\\n +--hash=sha256:", lock, re.MULTILINE)
    assert pinned == ["psycopg", "psycopg-binary"]
    assert len(re.findall(r"^\S", lock, re.MULTILINE)) == len(pinned)


def test_a_container_is_asked_for_its_health_by_a_name_that_it_answers(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    (line,) = [line for line in _lines("container/Containerfile") if line.startswith("HEALTHCHECK")]
    python, option, words = json.loads(line.split("CMD ", 1)[1])
    assert (python, option) == ("python", "-c")
    asked: list[Request] = []
    monkeypatch.setattr(urllib.request, "urlopen", lambda request, timeout: asked.append(request))
    for hosts in ("tarsus.park.example, other.example", None):
        monkeypatch.delenv("TARSUS_HOSTS", raising=False)
        if hosts:
            monkeypatch.setenv("TARSUS_HOSTS", hosts)
        exec(words, {})
    assert [one.get_header("Host") for one in asked] == ["tarsus.park.example", "127.0.0.1"]


def test_the_compose_file_shuts_what_need_not_be_open() -> None:
    told: dict[str, Any] = yaml.safe_load((PACKAGING / "container/compose.yaml").read_text(encoding="utf-8"))
    tarsus, database = told["services"]["tarsus"], told["services"]["database"]
    assert tarsus["ports"] == ["127.0.0.1:8000:8000"], "this machine alone, until a certificate is in front"
    assert "ports" not in database
    assert (tarsus["read_only"], tarsus["cap_drop"]) == (True, ["ALL"])
    assert ":?" in tarsus["environment"]["TARSUS_DATABASE"], "no password of ours"
    in_front = (PACKAGING / "proxy/nginx.conf").read_text(encoding="utf-8")
    assert set(re.findall(r"\bTARSUS_\w+", in_front)) <= set(tarsus["environment"]), (
        "what a server in front needs"
    )
    assert re.search(r":\d", database["image"])
    named = {volume.split(":")[0] for one in (tarsus, database) for volume in one["volumes"]}
    assert named == set(told["volumes"])
    assert (PACKAGING / "container" / tarsus["build"]["context"] / tarsus["build"]["dockerfile"]).is_file()


def test_the_servers_in_front_pass_the_name_on_and_compress_nothing_again() -> None:
    nginx = "\n".join(_lines("proxy/nginx.conf"))
    assert nginx.count("{") == nginx.count("}")
    assert "proxy_set_header Host $host;" in nginx
    assert "gzip off;" in nginx
    assert "proxy_set_header X-Forwarded-For $remote_addr;" in nginx, (
        "what a stranger says of itself is dropped"
    )
    caddy = "\n".join(_lines("proxy/Caddyfile"))
    assert caddy.count("{") == caddy.count("}")
    assert "encode" not in caddy
