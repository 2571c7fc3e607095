"""What visitors may read of a bird."""

from __future__ import annotations

from django.db import transaction

from tarsus.actions.known import known_bird
from tarsus.actions.telling import Told, write_once
from tarsus.records.models import Story


@transaction.atomic
def tell_story(*, told: Told, bird_id: int, story: str = "") -> bool:
    """Write down what visitors may read of a bird; the latest stands, an empty one says nothing.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird.
    """
    known_bird(bird_id)
    return write_once(Story, told, {"bird_id": bird_id, "text": story.strip()})
