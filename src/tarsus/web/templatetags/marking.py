"""Template words of the marking desk."""

from __future__ import annotations

import json
from typing import Any

from django import template

register = template.Library()


@register.filter
def as_json(marks: Any) -> str:
    """Marks as a hidden field carries them."""
    return json.dumps(marks, ensure_ascii=False)
