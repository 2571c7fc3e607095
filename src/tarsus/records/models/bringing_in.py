"""Bringing in a park's own spreadsheet: the batch, the refused rows, and how columns were named."""

from __future__ import annotations

from django.db import models
from django.db.models import UniqueConstraint
from django.utils import timezone

from tarsus.records.models.birds import Bird
from tarsus.records.models.guards import said
from tarsus.records.models.people import Person


class ColumnMapping(models.Model):
    """Which column of a park's spreadsheet means what, and in which ways it is written.

    `letters` holds all of those: the letters of the bands, how dates with slashes are meant, and so on.
    """

    name = models.CharField(max_length=80, unique=True)
    columns = models.JSONField(default=dict)
    letters = models.JSONField(default=dict)
    saved_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    saved_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = said("name")


class ImportBatch(models.Model):
    """One spreadsheet that was brought in."""

    file_name = models.CharField(max_length=200)
    digest = models.CharField(max_length=64)
    mapping = models.ForeignKey(
        ColumnMapping, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    all_or_nothing = models.BooleanField(default=False)
    rows_in = models.PositiveIntegerField(default=0)
    rows_refused = models.PositiveIntegerField(default=0)
    warnings = models.JSONField(default=list)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)


class ImportedRow(models.Model):
    """Which bird a good row became, so that sending the file again writes nothing twice."""

    batch = models.ForeignKey(ImportBatch, on_delete=models.PROTECT, related_name="rows")
    line = models.PositiveIntegerField()
    row_digest = models.CharField(max_length=64, db_index=True)
    bird = models.ForeignKey(Bird, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [UniqueConstraint(fields=["batch", "line"], name="imported_row_once")]


class RefusedRow(models.Model):
    """A row that did not go in: where, why, and what would mend it. Every row has one entry a reason."""

    batch = models.ForeignKey(ImportBatch, on_delete=models.PROTECT, related_name="refused")
    sheet = models.CharField(max_length=80, blank=True)
    line = models.PositiveIntegerField()
    cells = models.JSONField()
    field = models.CharField(max_length=80, blank=True)
    reason = models.CharField(max_length=400)
    remedy = models.CharField(max_length=400, blank=True)
    mended_at = models.DateTimeField(null=True, blank=True)
    mended_by = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    bird = models.ForeignKey(Bird, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["batch", "line"], name="refused_row_line")]
