"""What one shift leaves for the next."""

from __future__ import annotations

from django.db import models

from tarsus.records.models.facts import FieldFact
from tarsus.records.models.guards import said
from tarsus.records.models.park import Exhibit
from tarsus.records.models.people import Person


class ShiftNote(FieldFact):
    """What the next keeper should know. Without a `ShiftNoteFor` it is for whoever comes."""

    exhibit = models.ForeignKey(Exhibit, null=True, on_delete=models.PROTECT, related_name="shift_notes")
    text = models.CharField(max_length=1000)

    class Meta:
        constraints = said("text")
        indexes = [models.Index(fields=["recorded_at"], name="shiftnote_recorded")]


class ShiftNoteFor(models.Model):
    """A colleague whom a shift note mentions."""

    note = models.ForeignKey(ShiftNote, on_delete=models.PROTECT, related_name="people")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="shift_notes")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["note", "person"], name="shift_note_once_a_person")]
