"""What is mailed to whom, and that it was: one letter a person and day."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from tarsus.records.models.people import Person


class MailWish(models.Model):
    """What somebody asked to be mailed, once a day. Without a row, or with nothing chosen: nothing."""

    person = models.OneToOneField(Person, on_delete=models.PROTECT, related_name="mail_wish")
    address = models.CharField(max_length=254, blank=True)
    duties = models.BooleanField(default=False)
    search = models.BooleanField(default=False)
    backups = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(address="") | Q(duties=False, search=False, backups=False),
                name="mailwish_has_an_address",
            )
        ]


class Letter(models.Model):
    """The letter of one day to one person: taken in hand by one sender, then sent.

    `taken_at` is empty where the mail server refused it: the next run tries again.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    day = models.DateField()
    taken_at = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["person", "day"], name="letter_once_a_day")]
