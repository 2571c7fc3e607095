"""How birds come into a register and leave it: arrivals, departures, deaths, nests."""

from __future__ import annotations

from django.db import models
from django.db.models import CheckConstraint, Q, UniqueConstraint

from tarsus.records.models.birds import Bird, Pair
from tarsus.records.models.facts import Fact, Spell
from tarsus.records.models.guards import not_before, one_of, said
from tarsus.records.models.park import Exhibit, Place
from tarsus.records.models.people import Person
from tarsus.records.models.species import Species
from tarsus.records.models.words import NestEventKind


class Arrival(Fact):
    """A bird came from elsewhere. `released_on` is the day the vet let it out of quarantine."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="arrivals")
    came_from = models.CharField(max_length=120)
    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="+")
    on_loan = models.BooleanField(default=False)
    papers = models.CharField(max_length=120, blank=True)


class QuarantineRelease(Fact):
    """The vet released a newcomer."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="releases")
    note = models.CharField(max_length=300, blank=True)


class Departure(Fact):
    """A bird left for elsewhere."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="departures")
    went_to = models.CharField(max_length=120)
    stays_ours = models.BooleanField(default=False)
    papers = models.CharField(max_length=120, blank=True)


class Ownership(Fact):
    """Owner or holder changed. Empty means this park."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="ownerships")
    owner = models.CharField(max_length=120, blank=True)
    holder = models.CharField(max_length=120, blank=True)


class Death(Fact):
    """A dead bird was found. Without bands it has no name yet: *which?* stays open until a `CarcaseNamed`."""

    bird = models.ForeignKey(Bird, null=True, blank=True, on_delete=models.PROTECT, related_name="deaths")
    species = models.ForeignKey(Species, on_delete=models.PROTECT, related_name="+")
    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="deaths")
    found_by = models.CharField(max_length=120)
    carcase_label = models.CharField(max_length=60, blank=True)
    post_mortem_asked = models.BooleanField(default=False)
    circumstances = models.CharField(max_length=400, blank=True)
    euthanised = models.BooleanField(default=False)

    class Meta:
        constraints = [
            UniqueConstraint(
                fields=["carcase_label"], condition=~Q(carcase_label=""), name="carcase_label_once"
            ),
            *said("found_by"),
        ]
        verbose_name_plural = "deaths"


class CarcaseNamed(Fact):
    """It became known whose carcase it was."""

    death = models.ForeignKey(Death, on_delete=models.PROTECT, related_name="named")
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="carcases")
    because = models.CharField(max_length=300)


class PostMortem(Fact):
    """The answer of a post-mortem."""

    death = models.ForeignKey(Death, on_delete=models.PROTECT, related_name="post_mortems")
    answer = models.TextField()
    by_whom = models.CharField(max_length=120, blank=True)


class Nest(Spell):
    """A nest or brood. Eggs and unbanded chicks are numbers here and no birds yet."""

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="nests")
    place = models.ForeignKey(Place, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    species = models.ForeignKey(Species, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=60)
    pair = models.ForeignKey(Pair, null=True, blank=True, on_delete=models.PROTECT, related_name="nests")
    from_on = models.DateField()
    to_on = models.DateField(null=True, blank=True)
    forbids_chase = models.BooleanField(default=True)

    class Meta:
        constraints = [
            not_before("from_on", "to_on"),
            UniqueConstraint(
                fields=["exhibit", "name"],
                condition=Q(to_on__isnull=True, taken_back_at__isnull=True),
                name="nest_named_once",
            ),
            *said("name"),
        ]


class NestEvent(Fact):
    """What was found at a nest. `amount` is how many eggs or chicks the event speaks of."""

    nest = models.ForeignKey(Nest, on_delete=models.PROTECT, related_name="events")
    kind = models.CharField(max_length=15, choices=NestEventKind)
    amount = models.PositiveSmallIntegerField(null=True, blank=True)
    bird = models.ForeignKey(Bird, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            one_of("kind", NestEventKind),
            CheckConstraint(
                condition=Q(amount__isnull=False) | Q(kind__in=["failed", "checked", "banded"]),
                name="nest_event_says_how_many",
            ),
        ]


class PrintedInventory(models.Model):
    """A month's inventory as it was printed. Later corrections stand beside it as dated adjustments."""

    month = models.DateField()
    lines = models.JSONField()
    printed_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    printed_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["month", "printed_at"], name="printed_month")]
