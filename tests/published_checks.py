"""Published figures, read from `tests/published`; the JavaScript tests read the same files."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

PUBLISHED = Path(__file__).parent / "published"


def published(name: str) -> Any:
    """One published check: data, source and expected figures."""
    return json.loads((PUBLISHED / f"{name}.json").read_text(encoding="utf-8"))
