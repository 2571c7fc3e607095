"""How a refusal of a deed comes back to its form: the sentence at the field, nothing lost."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from django.forms import BaseForm

from tarsus.core.errors import MalformedInput, TarsusError

Answer = TypeVar("Answer")


def done(form: BaseForm, deed: Callable[[], Answer], places: Mapping[str, str] | None = None) -> bool:
    """Do a deed with a form's values, unless the form or the deed refuses.

    Args:
        form: a bound form; a refusal of the deed is written to the field that it names.
        deed: what to do.
        places: fields by the deed's own names, where these differ.

    Returns:
        Whether it was done.
    """
    try:
        deed()
    except MalformedInput as refusal:
        place = (places or {}).get(refusal.place, refusal.place)
        form.add_error(place if place in form.fields else None, as_sentence(refusal.message))
    except TarsusError as refusal:
        form.add_error(None, as_sentence(str(refusal)))
    return not form.errors


def as_sentence(text: str) -> str:
    """A refusal as a sentence of its own: it begins with a capital and ends with a stop."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", "!")) else ".")
