"""Species, how they are marked, the palette and the bands in the drawer."""

from __future__ import annotations

from django.db import models
from django.db.models import CheckConstraint, Q, UniqueConstraint
from django.utils import timezone

from tarsus.records.models.guards import not_before, one_of, said, within
from tarsus.records.models.people import Person
from tarsus.records.models.words import BandKind, Form


class Colour(models.Model):
    """A colour of the park's palette. `faded_hex` is how its material looks when it is old."""

    name = models.CharField(max_length=30, unique=True)
    hex = models.CharField(max_length=7)
    letter = models.CharField(max_length=2, unique=True)
    held = models.BooleanField(default=True)
    material = models.CharField(max_length=40, blank=True)
    faded_hex = models.CharField(max_length=7, blank=True)
    fades_in_years = models.FloatField(null=True, blank=True)
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints = [
            CheckConstraint(condition=~Q(name__in=["metal", "?", ""]), name="colour_name_is_free"),
            CheckConstraint(condition=Q(hex__startswith="#"), name="colour_hex_is_srgb"),
            CheckConstraint(
                condition=Q(faded_hex="") | Q(faded_hex__startswith="#"),
                name="colour_faded_hex_is_srgb",
            ),
            *said("letter"),
        ]

    def __str__(self) -> str:
        return self.name


class Species(models.Model):
    """What Tarsus must know of a species. Limits are the park's and its vet's; all of them may be changed."""

    name = models.CharField(max_length=80, unique=True)
    scientific_name = models.CharField(max_length=80, blank=True)
    lookalike = models.CharField(max_length=40)
    form = models.CharField(max_length=6, choices=Form, default=Form.LEGS)
    sites = models.JSONField(default=list)
    excluded_colours = models.ManyToManyField(Colour, blank=True, related_name="+")
    chews = models.BooleanField(default=False)
    leg_diameter_mm = models.FloatField(null=True, blank=True)
    band_size = models.CharField(max_length=20, blank=True)
    female_low_g = models.FloatField(null=True, blank=True)
    female_high_g = models.FloatField(null=True, blank=True)
    male_low_g = models.FloatField(null=True, blank=True)
    male_high_g = models.FloatField(null=True, blank=True)
    mass_source = models.CharField(max_length=200, blank=True)
    weight_prompt_percent = models.FloatField(default=5.0)
    weight_alarm_percent = models.FloatField(default=10.0)
    weigh_every_days = models.PositiveSmallIntegerField(null=True, blank=True)
    health_check_every_days = models.PositiveSmallIntegerField(null=True, blank=True)
    max_unseen_days = models.PositiveSmallIntegerField(default=3)
    counts_at_days = models.PositiveSmallIntegerField(default=30)
    leg_grown_at_days = models.PositiveSmallIntegerField(default=90)
    grown_plumage_at_days = models.PositiveSmallIntegerField(null=True, blank=True)
    chick_check_every_days = models.PositiveSmallIntegerField(default=3)
    natural_mark_review_days = models.PositiveSmallIntegerField(default=365)
    moult_from_month = models.PositiveSmallIntegerField(null=True, blank=True)
    moult_to_month = models.PositiveSmallIntegerField(null=True, blank=True)
    bands_off_in_moult = models.BooleanField(default=False)
    rest_days = models.PositiveSmallIntegerField(null=True, blank=True)
    minutes_from_chase = models.PositiveSmallIntegerField(null=True, blank=True)
    too_hot_c = models.FloatField(null=True, blank=True)
    too_cold_c = models.FloatField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "species"
        constraints = [
            one_of("form", Form),
            not_before("female_low_g", "female_high_g"),
            not_before("male_low_g", "male_high_g"),
            within("weight_prompt_percent", 0, 100),
            within("weight_alarm_percent", 0, 100),
            within("max_unseen_days", 1, 365),
            within("moult_from_month", 1, 12),
            within("moult_to_month", 1, 12),
            *said("name", "lookalike"),
        ]

    def __str__(self) -> str:
        return self.name


class Rule(models.Model):
    """How a species is marked from a day on: where the metal goes and how many colours go where, by sex."""

    species = models.ForeignKey(Species, on_delete=models.PROTECT, related_name="rules")
    from_on = models.DateField()
    metal = models.JSONField(default=dict)
    colours = models.JSONField(default=dict)
    repeat_on_a_site = models.BooleanField(default=True)
    mates_match = models.BooleanField(default=False)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [UniqueConstraint(fields=["species", "from_on"], name="rule_once_a_day")]


class Stock(models.Model):
    """How many bands of one kind, colour and size are in the drawer."""

    kind = models.CharField(max_length=10, choices=BandKind)
    colour = models.ForeignKey(Colour, null=True, blank=True, on_delete=models.PROTECT, related_name="stock")
    size = models.CharField(max_length=20)
    amount = models.PositiveIntegerField(default=0)
    order_below = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints = [
            one_of("kind", BandKind),
            CheckConstraint(condition=Q(amount__gte=0), name="stock_not_below_none"),
            UniqueConstraint(
                fields=["kind", "colour", "size"], condition=Q(colour__isnull=False), name="stock_once"
            ),
            UniqueConstraint(
                fields=["kind", "size"], condition=Q(colour__isnull=True), name="stock_plain_once"
            ),
            *said("size"),
        ]


class StockChange(models.Model):
    """Bands came in, went onto a bird, or were counted anew. Appended only; `deed` told of it, if one did."""

    stock = models.ForeignKey(Stock, on_delete=models.PROTECT, related_name="changes")
    by_amount = models.IntegerField()
    because = models.CharField(max_length=120)
    band = models.ForeignKey(
        "records.Band", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    deed = models.UUIDField(null=True, blank=True, db_index=True)


class MetalSeries(models.Model):
    """A run of numbered metal bands as it was issued. A number is never used twice."""

    series = models.CharField(max_length=20)
    prefix = models.CharField(max_length=20, blank=True)
    first = models.PositiveIntegerField()
    last = models.PositiveIntegerField()
    digits = models.PositiveSmallIntegerField(default=5)
    size = models.CharField(max_length=20)
    received_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            not_before("first", "last"),
            UniqueConstraint(fields=["series", "prefix", "first"], name="metal_series_once"),
            *said("series", "size"),
        ]
