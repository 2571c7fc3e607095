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
    hand-over only a digest is kept; `pin_wrong` counts wrong ones in a row.
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
