"""The one-time address that `tarsus serve` prints while nobody is in the register."""

from __future__ import annotations

import os


def first_address(origin: str) -> str:
    """An address under which the first person is made, sealed for the server; empty in a park that began.

    Args:
        origin: where the server answers, as ``https://tarsus.park.example:8443``.
    """
    from django.conf import settings
    from django.urls import reverse
    from django.utils import timezone

    from tarsus.actions.settings.first_address import sealed_secret
    from tarsus.actions.settings.first_person import nobody_is_here

    if not nobody_is_here():
        return ""
    secret, sealed = sealed_secret(timezone.now())
    # For the processes that the web server starts, and for this one.
    os.environ["TARSUS_FIRST_PERSON"] = sealed
    settings.FIRST_PERSON = sealed
    return origin + reverse("first-person", args=[secret])


def say_first_address(address: str) -> None:
    """Print it, with what it is good for."""
    print(
        "\nNobody is in this register yet. Open this address to begin the park; it works once, for an hour:"
    )
    print(f"  {address}")
    print("If a park should be here, stop: this is another register. `tarsus settings` says who named it.\n")
