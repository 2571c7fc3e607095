"""The park, its exhibits and their places."""

from __future__ import annotations

from django.db import models
from django.db.models import CheckConstraint, F, Q, UniqueConstraint

from tarsus.records.models.guards import not_before, one_of, said, within
from tarsus.records.models.words import PlaceKind, Purpose, ReadsAs, Side, VisitorPages


class Park(models.Model):
    """The one park of this register and what it has chosen. There is exactly one row."""

    name = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=60, default="Europe/London")
    female_side = models.CharField(max_length=5, choices=Side, blank=True, default=Side.LEFT)
    male_side = models.CharField(max_length=5, choices=Side, blank=True, default=Side.RIGHT)
    metal_letter = models.CharField(max_length=2, default="m")
    reader = models.CharField(max_length=10, choices=ReadsAs, default=ReadsAs.TRAINED)
    strangers = models.FloatField(default=0.001)
    gone_per_year = models.FloatField(default=0.05)
    wanted_misnaming = models.FloatField(default=0.01)
    sureness = models.FloatField(default=0.95)
    bands_per_leg = models.PositiveSmallIntegerField(default=2)
    remark_at_once = models.BooleanField(default=False)
    rest_days = models.PositiveSmallIntegerField(default=21)
    minutes_from_chase = models.PositiveSmallIntegerField(default=20)
    too_hot_c = models.FloatField(default=25.0)
    too_cold_c = models.FloatField(null=True, blank=True)
    catch_until_hour = models.PositiveSmallIntegerField(default=9)
    condition_scale = models.PositiveSmallIntegerField(default=5)
    marks_rest_days = models.PositiveSmallIntegerField(default=365)
    shared_phones = models.BooleanField(default=False)
    # How long a picture stays with its sighting; 0: none is kept.
    pictures_days = models.PositiveSmallIntegerField(default=90)
    idle_lock_minutes = models.PositiveSmallIntegerField(default=0)
    desk_idle_minutes = models.PositiveSmallIntegerField(default=0)
    office_second_step = models.BooleanField(default=False)
    visitor_pages = models.CharField(max_length=5, choices=VisitorPages, default=VisitorPages.OFF)
    one_park = models.BooleanField(default=True)
    # Set by the demo alone and by no deed: such a register never passes for a park's own.
    invented = models.BooleanField(default=False)

    class Meta:
        constraints = [
            CheckConstraint(condition=Q(id=1), name="park_is_one"),
            CheckConstraint(
                condition=Q(female_side="", male_side="") | ~Q(female_side=F("male_side")),
                name="park_sides_differ",
            ),
            one_of("female_side", Side),
            one_of("male_side", Side),
            one_of("reader", ReadsAs),
            one_of("visitor_pages", VisitorPages),
            within("strangers", 0, 1),
            within("gone_per_year", 0, 1),
            within("wanted_misnaming", 0, 1),
            within("sureness", 0.5, 0.999),
            within("catch_until_hour", 0, 24),
            *said("name", "time_zone", "metal_letter"),
        ]


class Exhibit(models.Model):
    """Where birds live and rolls are called."""

    name = models.CharField(max_length=80, unique=True)
    purpose = models.CharField(max_length=10, choices=Purpose, default=Purpose.DISPLAY)
    order = models.PositiveSmallIntegerField(default=0)
    opened_on = models.DateField(null=True, blank=True)
    closed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [one_of("purpose", Purpose), not_before("opened_on", "closed_on"), *said("name")]

    def __str__(self) -> str:
        return self.name


class Place(models.Model):
    """A perch, pool or ledge of an exhibit."""

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="places")
    name = models.CharField(max_length=60)
    kind = models.CharField(max_length=12, choices=PlaceKind, default=PlaceKind.PERCH)
    order = models.PositiveSmallIntegerField(default=0)
    closed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            UniqueConstraint(fields=["exhibit", "name"], name="place_named_once"),
            one_of("kind", PlaceKind),
            *said("name"),
        ]

    def __str__(self) -> str:
        return self.name
