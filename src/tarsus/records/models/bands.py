"""Bands: what a bird wears, since when, in what state, and what was found on the floor."""

from __future__ import annotations

from django.db import models
from django.db.models import CheckConstraint, Q, UniqueConstraint
from django.utils import timezone

from tarsus.core.marks.sites import SITES
from tarsus.records.models.birds import Bird
from tarsus.records.models.facts import Fact, Spell
from tarsus.records.models.guards import not_before, one_of
from tarsus.records.models.park import Exhibit, Place
from tarsus.records.models.people import Person
from tarsus.records.models.species import Colour
from tarsus.records.models.words import BandKind, Condition, WhyOff

NUMBERED = [BandKind.METAL.value, BandKind.CLOSED.value]


class Band(Spell):
    """One band on one bird.

    `order` is relative only: smaller is nearer the body. New bands are set 100 apart, so that one can be
    put between two others without touching them. `engraving_key` is the engraving in capitals without
    spaces; with `series` (who issued it) it belongs to one band for all time.
    """

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="bands")
    site = models.CharField(max_length=11)
    order = models.IntegerField(default=0)
    kind = models.CharField(max_length=10, choices=BandKind)
    colour = models.ForeignKey(Colour, null=True, blank=True, on_delete=models.PROTECT, related_name="bands")
    series = models.CharField(max_length=20, blank=True)
    engraving = models.CharField(max_length=30, blank=True)
    engraving_key = models.CharField(max_length=30, blank=True)
    size = models.CharField(max_length=20, blank=True)
    temporary = models.BooleanField(default=False)
    certified = models.BooleanField(default=False)
    came_with_it = models.BooleanField(default=False)
    from_on = models.DateField()
    to_on = models.DateField(null=True, blank=True)
    why_off = models.CharField(max_length=20, choices=WhyOff, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            one_of("kind", BandKind),
            CheckConstraint(condition=Q(site__in=SITES), name="band_site_is_a_site"),
            CheckConstraint(
                condition=Q(kind__in=NUMBERED, colour__isnull=True)
                | (~Q(kind__in=NUMBERED) & Q(colour__isnull=False)),
                name="band_colour_unless_metal",
            ),
            CheckConstraint(condition=Q(why_off__in=["", *WhyOff.values]), name="band_why_off_is_a_word"),
            not_before("from_on", "to_on"),
            UniqueConstraint(
                fields=["bird", "site", "order"],
                condition=Q(to_on__isnull=True, taken_back_at__isnull=True),
                name="band_one_a_place",
            ),
            UniqueConstraint(
                fields=["series", "engraving_key"],
                condition=Q(kind__in=NUMBERED, taken_back_at__isnull=True) & ~Q(engraving_key=""),
                name="metal_number_once",
            ),
        ]
        indexes = [models.Index(fields=["bird", "from_on", "to_on"], name="band_of_bird")]


class BandCheck(Fact):
    """What one look at one band found. Several conditions are several rows of one moment."""

    band = models.ForeignKey(Band, on_delete=models.PROTECT, related_name="checks")
    condition = models.CharField(max_length=10, choices=Condition)
    in_hand = models.BooleanField(default=False)
    handling = models.ForeignKey(
        "records.Handling", null=True, blank=True, on_delete=models.PROTECT, related_name="band_checks"
    )
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [one_of("condition", Condition)]
        indexes = [models.Index(fields=["band", "happened_at"], name="bandcheck_of_band")]


class BandFound(Fact):
    """A band lay on the floor. Whose it may be is asked of the records; nobody is taken for dead."""

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="bands_found")
    place = models.ForeignKey(Place, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=10, choices=BandKind)
    colour = models.ForeignKey(Colour, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    engraving = models.CharField(max_length=30, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [one_of("kind", BandKind)]
        verbose_name_plural = "bands found"


class BandOwnerNamed(Fact):
    """It became known whose a found band was."""

    found = models.ForeignKey(BandFound, on_delete=models.PROTECT, related_name="named")
    band = models.ForeignKey(Band, on_delete=models.PROTECT, related_name="+")
    because = models.CharField(max_length=300, blank=True)


class PlannedMarks(models.Model):
    """Marks kept at the marking desk; they wait for the next handling that happens anyway."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="planned_marks")
    marks = models.JSONField()
    because = models.CharField(max_length=200, blank=True)
    planned_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    planned_at = models.DateTimeField(default=timezone.now)
    fitted_at = models.DateTimeField(null=True, blank=True)
    dropped_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            UniqueConstraint(
                fields=["bird"],
                condition=Q(fitted_at__isnull=True, dropped_at__isnull=True),
                name="planned_marks_once",
            )
        ]


class ConfirmedReading(Fact):
    """A reading whose bird was then known for certain: what readers' error chances are learned from."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="confirmed_readings")
    read = models.JSONField()
    worn = models.JSONField()
    reader = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    handling = models.ForeignKey(
        "records.Handling", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    sighting = models.ForeignKey(
        "records.Sighting", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
