"""What is told to whom once a day, by mail and on a phone, and that it was."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils import timezone

from tarsus.records.models.guards import said
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


class PhoneNews(models.Model):
    """A phone on which somebody asked to be told, once a day, through the push service of its browser.

    `endpoint`, `key` and `auth` are the browser's own (RFC 8030, RFC 8291). It ends when its person says so,
    when somebody else asks on the same phone, or when the push service knows it no more.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=80)
    endpoint = models.TextField()
    key = models.CharField(max_length=100)
    auth = models.CharField(max_length=40)
    duties = models.BooleanField(default=False)
    search = models.BooleanField(default=False)
    backups = models.BooleanField(default=False)
    asked_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_why = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [
            *said("name"),
            models.UniqueConstraint(
                fields=["endpoint"], condition=Q(ended_at__isnull=True), name="phonenews_one_a_phone"
            ),
        ]


class PhoneLetter(models.Model):
    """What went to one phone on one day: taken in hand by one sender, then sent; see `Letter`."""

    news = models.ForeignKey(PhoneNews, on_delete=models.PROTECT, related_name="letters")
    day = models.DateField()
    taken_at = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["news", "day"], name="phoneletter_once_a_day")]
