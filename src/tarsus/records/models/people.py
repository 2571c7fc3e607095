"""People, what they may do, and the phones they share."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils import timezone

from tarsus.records.models.guards import one_of, said, within
from tarsus.records.models.words import ColourVision, ReadsAs, Role


def a_year_on() -> datetime:
    """When a token that is given now runs out."""
    return timezone.now() + timedelta(days=365)


class People(BaseUserManager["Person"]):
    """Makes people; the framework's own commands look for these two names."""

    def create_user(self, login: str, password: str | None = None, **fields: Any) -> Person:
        """A person who may sign in."""
        person = self.model(login=login, **fields)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def create_superuser(self, login: str, password: str | None = None, **fields: Any) -> Person:
        """An administrator."""
        return self.create_user(login, password, **{**fields, "role": Role.ADMINISTRATOR})


class Person(AbstractBaseUser):
    """Somebody whose name stands on what they recorded. Never deleted; `is_active` ends when they leave.

    `shares_practice`: what they practise on a phone may reach the register; nobody else decides that.
    `past_passwords` are digests of the last few, which are not taken again. Of the `pin` that confirms a
    hand-over only a digest is kept; `pin_wrong` counts wrong ones in a row. `second_secret` is what their app
    counts its codes from, unreadable without the key beside the register; `second_last` is the time step of
    the code that was taken last, and of the `recovery_codes` only digests are kept.
    """

    login = models.CharField(max_length=60, unique=True)
    display_name = models.CharField(max_length=80)
    role = models.CharField(max_length=14, choices=Role, default=Role.VIEWER)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(default=timezone.now)
    reads_as = models.CharField(max_length=10, choices=ReadsAs, default=ReadsAs.TRAINED)
    colour_vision = models.CharField(max_length=8, choices=ColourVision, default=ColourVision.USUAL)
    vision_severity = models.FloatField(default=1.0)
    shares_practice = models.BooleanField(default=False)
    past_passwords = models.JSONField(default=list, blank=True)
    pin = models.CharField(max_length=128, blank=True)
    pin_wrong = models.PositiveSmallIntegerField(default=0)
    pin_wrong_at = models.DateTimeField(null=True, blank=True)
    second_secret = models.CharField(max_length=300, blank=True)
    second_since = models.DateTimeField(null=True, blank=True)
    second_last = models.BigIntegerField(default=0)
    recovery_codes = models.JSONField(default=list, blank=True)

    objects: ClassVar[People] = People()

    USERNAME_FIELD = "login"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["display_name"]

    class Meta:
        constraints = [
            one_of("role", Role),
            one_of("reads_as", ReadsAs),
            one_of("colour_vision", ColourVision),
            within("vision_severity", 0, 1),
            *said("login", "display_name"),
        ]

    def __str__(self) -> str:
        return self.display_name


class DeviceToken(models.Model):
    """A device that may send for its exhibits, always for a named person. Only a digest is kept.

    It is known nowhere any more once it was taken back or `expires_at` is past.
    """

    name = models.CharField(max_length=80)
    digest = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    revoked_at = models.DateTimeField(null=True, blank=True)
    expires_at = models.DateTimeField(default=a_year_on)
    last_used_at = models.DateTimeField(null=True, blank=True)
    exhibits = models.ManyToManyField("records.Exhibit", related_name="+")
    people = models.ManyToManyField(Person, related_name="+")

    class Meta:
        constraints = said("name")


class Handover(models.Model):
    """A shared phone went from one person to the next; `by_pin`: the one who took it confirmed that."""

    device = models.CharField(max_length=64)
    given_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    taken_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    by_pin = models.BooleanField(default=False)


class SignedIn(models.Model):
    """A browser in which somebody signed in, until it ends. `session_key` is empty from then on.

    `digest` is of the key: by it a browser whose session was ended is told so. `browser` is what it calls
    itself, in short.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="signed_in")
    session_key = models.CharField(max_length=40, blank=True)
    digest = models.CharField(max_length=64, unique=True)
    browser = models.CharField(max_length=80, blank=True)
    since = models.DateTimeField(default=timezone.now)
    last_used_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)


class PhoneKey(models.Model):
    """What a phone seals the unsent facts of a person with when nobody is signed in on it any more."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    device = models.CharField(max_length=64)
    key = models.CharField(max_length=64)
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["person", "device"], name="phone_key_once"),
            *said("device", "key"),
        ]
