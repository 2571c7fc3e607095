"""Argon2 with a memory cost chosen on purpose."""

from __future__ import annotations

from django.contrib.auth.hashers import Argon2PasswordHasher


class ParkArgon2Hasher(Argon2PasswordHasher):
    """Argon2id at 19 MiB, two passes, one lane.

    The framework's default takes 100 MiB a sign-in, which a small park computer feels at the start of a
    shift. These are the first of the equivalent minimum settings in the OWASP Password Storage Cheat Sheet.
    """

    memory_cost = 19456
    time_cost = 2
    parallelism = 1
