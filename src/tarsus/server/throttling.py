"""How wrong passwords are counted: by name, and by address, each with a limit of its own."""

from __future__ import annotations

from typing import Any, Final

from axes.handlers.database import AxesDatabaseHandler
from axes.helpers import get_client_username
from axes.models import AccessAttempt
from django.conf import settings
from django.db.models import Sum

ADDRESS_LIMIT: Final = 40
"""Wrong passwords from one address before it waits: a whole park may sit behind one. Common practice."""


class ByNameAndAddress(AxesDatabaseHandler):
    """A name waits after a few wrong passwords, an address after many, whatever names it tries."""

    def get_failures(self, request: Any, credentials: Any = None) -> int:
        """Failures by the name, or those by the address brought to the same limit, whichever are more."""
        by_name, by_address = (
            attempts.aggregate(of=Sum("failures_since_start"))["of"] or 0
            for attempts in self.get_user_attempts(request, credentials)
        )
        return max(int(by_name), int(by_address) * int(settings.AXES_FAILURE_LIMIT) // ADDRESS_LIMIT)

    def reset_user_attempts(self, request: Any, credentials: Any = None) -> int:
        """Forget what was counted for a name that signed in; what its address did with others stays."""
        name = get_client_username(request, credentials)
        return int(AccessAttempt.objects.filter(username=name).delete()[0])
