"""People who may sign in."""

from __future__ import annotations

from tarsus.records.models import Person


def nobody_may_sign_in() -> bool:
    """Whether this register has no person yet who may sign in: it was only just set up."""
    return not Person.objects.filter(is_active=True).exists()


def people_by_login() -> dict[str, int]:
    """Everybody who may sign in: login to id, in the order of the logins."""
    return dict(Person.objects.filter(is_active=True).order_by("login").values_list("login", "id"))
