"""Put on the path by `make test-core-alone`: the framework and servers are as if never installed."""

from __future__ import annotations

import sys
from importlib.machinery import ModuleSpec, PathFinder
from types import ModuleType
from typing import Any

GONE = ("django", "ninja", "axes", "csp", "whitenoise", "granian", "pytest_django")


class WithoutServers(PathFinder):
    """Finds what the path finder finds, but for these."""

    @classmethod
    def find_spec(cls, name: str, path: Any = None, target: ModuleType | None = None) -> ModuleSpec | None:
        """Where a module is, `None` for what is taken to be absent."""
        return None if name.split(".")[0] in GONE else super().find_spec(name, path, target)


sys.meta_path = [WithoutServers if finder is PathFinder else finder for finder in sys.meta_path]
