"""In hand and under care: handlings, weights, checks, cases, and what forbids or allows a catch."""

from __future__ import annotations

from django.db import models
from django.db.models import CheckConstraint, Q, UniqueConstraint
from django.utils import timezone

from tarsus.records.models.birds import Bird
from tarsus.records.models.facts import Fact, FieldFact, Spell
from tarsus.records.models.guards import not_before, one_of, said
from tarsus.records.models.park import Exhibit
from tarsus.records.models.people import Person
from tarsus.records.models.rounds import Concern, Round
from tarsus.records.models.words import NotHandledHow, NotLookedForWhy, Ruled, WeighedWhere


class Handling(FieldFact):
    """A bird was in the hand."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="handlings")
    engraving_read = models.CharField(max_length=30, blank=True)
    why = models.CharField(max_length=120)
    chase_started_at = models.DateTimeField(null=True, blank=True)
    nails = models.CharField(max_length=60, blank=True)
    condition = models.CharField(max_length=120, blank=True)
    treatment = models.CharField(max_length=300, blank=True)
    release = models.CharField(max_length=120, blank=True)
    walked_well = models.BooleanField(null=True)
    check_next_day = models.BooleanField(default=True)
    note = models.CharField(max_length=500, blank=True)
    tell_vet = models.BooleanField(default=False)

    class Meta:
        constraints = said("why")
        indexes = [models.Index(fields=["bird", "happened_at"], name="handling_of_bird")]


class NextDayCheck(Fact):
    """How a bird was the day after it had been in hand."""

    handling = models.ForeignKey(Handling, on_delete=models.PROTECT, related_name="next_day_checks")
    well = models.BooleanField()
    note = models.CharField(max_length=300, blank=True)


class Weighing(FieldFact):
    """One weight. Its hour is in `happened_at`."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="weighings")
    handling = models.ForeignKey(
        Handling, null=True, blank=True, on_delete=models.PROTECT, related_name="weighings"
    )
    weight_g = models.FloatField()
    where = models.CharField(max_length=11, choices=WeighedWhere)
    scale = models.CharField(max_length=60, blank=True)
    fed = models.BooleanField(null=True)
    moulting = models.BooleanField(default=False)

    class Meta:
        constraints = [
            one_of("where", WeighedWhere),
            CheckConstraint(condition=Q(weight_g__gt=0), name="weighing_above_nothing"),
        ]
        indexes = [models.Index(fields=["bird", "happened_at"], name="weighing_of_bird")]


class HealthCheck(Fact):
    """A look at a bird for its health's sake: an act of its own, more than *seen*."""

    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="health_checks")
    well = models.BooleanField()
    found = models.CharField(max_length=500, blank=True)


class Case(models.Model):
    """The vet's: open until closed. About one bird, or one of several."""

    about = models.CharField(max_length=200)
    birds = models.ManyToManyField(Bird, related_name="cases")
    concern = models.OneToOneField(
        Concern, null=True, blank=True, on_delete=models.PROTECT, related_name="case"
    )
    handling = models.OneToOneField(
        Handling, null=True, blank=True, on_delete=models.PROTECT, related_name="case"
    )
    opened_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    opened_at = models.DateTimeField(default=timezone.now)
    closed_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_because = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [not_before("opened_at", "closed_at"), *said("about")]


class CaseNote(Fact):
    """What was seen, decided or given in a case."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="notes")
    text = models.TextField()
    see_again_on = models.DateField(null=True, blank=True)


class Note(FieldFact):
    """A plain note about a bird, an exhibit or a round."""

    bird = models.ForeignKey(Bird, null=True, blank=True, on_delete=models.PROTECT, related_name="notes")
    exhibit = models.ForeignKey(
        Exhibit, null=True, blank=True, on_delete=models.PROTECT, related_name="notes"
    )
    round = models.ForeignKey(Round, null=True, blank=True, on_delete=models.PROTECT, related_name="notes")
    text = models.TextField()

    class Meta:
        constraints = said("text")


class NotLookedFor(Spell):
    """While this lasts, an unseen bird (or every bird of an exhibit) is no miss."""

    bird = models.ForeignKey(
        Bird, null=True, blank=True, on_delete=models.PROTECT, related_name="not_looked_for"
    )
    exhibit = models.ForeignKey(
        Exhibit, null=True, blank=True, on_delete=models.PROTECT, related_name="not_looked_for"
    )
    why = models.CharField(max_length=14, choices=NotLookedForWhy)
    from_on = models.DateField()
    to_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            one_of("why", NotLookedForWhy),
            not_before("from_on", "to_on"),
            CheckConstraint(
                condition=Q(bird__isnull=False, exhibit__isnull=True)
                | Q(bird__isnull=True, exhibit__isnull=False),
                name="not_looked_for_of_one",
            ),
        ]


class SignedReason(models.Model):
    """Vet and lead lift a limit for one day and say why. It holds only when both have signed."""

    ruled = models.CharField(max_length=14, choices=Ruled)
    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="signed_reasons")
    bird = models.ForeignKey(Bird, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    for_day = models.DateField()
    reason = models.CharField(max_length=400)
    vet = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    vet_at = models.DateTimeField(null=True, blank=True)
    lead = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    lead_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            one_of("ruled", Ruled),
            *said("reason"),
            CheckConstraint(
                condition=Q(vet__isnull=False) | Q(lead__isnull=False), name="reason_signed_by_somebody"
            ),
            CheckConstraint(
                condition=Q(vet__isnull=True) | Q(lead__isnull=True) | ~Q(vet=models.F("lead")),
                name="reason_signed_by_two",
            ),
        ]


class ForecastNote(Fact):
    """How warm and how cold a day is expected to be, as somebody wrote it. No request leaves the machine."""

    for_day = models.DateField()
    high_c = models.FloatField()
    low_c = models.FloatField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)


class CatchUp(models.Model):
    """One catch-up: which birds, when, under which limits."""

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="catch_ups")
    planned_for = models.DateField()
    limits = models.JSONField(default=dict)
    planned_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    planned_at = models.DateTimeField(default=timezone.now)
    dropped_at = models.DateTimeField(null=True, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)


class CatchUpBird(models.Model):
    """A bird chosen for a catch-up, and why."""

    catch_up = models.ForeignKey(CatchUp, on_delete=models.PROTECT, related_name="birds")
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="catch_ups")
    why = models.JSONField(default=list)
    chosen = models.BooleanField(default=True)

    class Meta:
        constraints = [UniqueConstraint(fields=["catch_up", "bird"], name="catch_up_once_a_bird")]


class NotHandled(FieldFact):
    """A bird of a catch-up was not handled, and why. A handling of the day counts before it."""

    catch_up = models.ForeignKey(CatchUp, on_delete=models.PROTECT, related_name="not_handled")
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="+")
    outcome = models.CharField(max_length=16, choices=NotHandledHow)
    because = models.CharField(max_length=200)

    class Meta:
        verbose_name_plural = "not handled"
        constraints = [one_of("outcome", NotHandledHow), *said("because")]
        indexes = [models.Index(fields=["catch_up", "bird"], name="not_handled_of_bird")]


class PresenceCheckpoint(models.Model):
    """What the watch knew of one flock at the end of a day. It can be rebuilt from the facts."""

    exhibit = models.ForeignKey(Exhibit, on_delete=models.PROTECT, related_name="+")
    lookalike = models.CharField(max_length=40)
    on_day = models.DateField()
    facts_until = models.DateTimeField(null=True)
    state = models.JSONField()

    class Meta:
        constraints = [
            UniqueConstraint(fields=["exhibit", "lookalike", "on_day"], name="checkpoint_once_a_day")
        ]
