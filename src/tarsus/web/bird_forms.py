"""The forms by which a bird's record is put right."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any, Final

from django import forms
from django.utils import timezone

from tarsus.core.marks.sites import SITES

KINDS: Final = ("metal", "closed", "colour", "cable tie", "wing", "flipper")
WHY_OFF: Final = (
    "replaced",
    "lost",
    "moult",
    "tight",
    "injury",
    "re-marked",
    "left the collection",
    "other",
)
KNOWN_BY: Final = (
    "DNA",
    "endoscopy",
    "plumage",
    "size",
    "behaviour",
    "laid an egg",
    "told on arrival",
    "not said",
)


def _day(label: str, **more: Any) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, initial=timezone.localdate, **more)


def _words(words: Sequence[str]) -> list[tuple[str, str]]:
    return [(word, word) for word in words]


class BandForm(forms.Form):
    """A band that is on the bird."""

    deed = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    site = forms.ChoiceField(label="Where, the bird's own side", choices=_words(SITES))
    place = forms.IntegerField(
        label="Place on that site, 0 nearest the body",
        required=False,
        min_value=0,
        max_value=3,
        help_text="Left empty: outermost.",
    )
    kind = forms.ChoiceField(label="What", choices=_words(KINDS), initial="colour")
    colour = forms.ChoiceField(label="Colour", required=False)
    engraving = forms.CharField(label="Engraving", max_length=30, required=False)
    series = forms.CharField(label="Issued by", max_length=20, required=False)
    size = forms.CharField(label="Size", max_length=20, required=False)
    temporary = forms.BooleanField(label="Temporary", required=False)
    came_with_it = forms.BooleanField(label="It came with the bird", required=False)
    on = _day("Worn since")

    def __init__(self, *args: Any, colours: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        chosen = self.fields["colour"]
        assert isinstance(chosen, forms.ChoiceField)
        chosen.choices = [("", "none: metal"), *_words(colours)]


class BandOffForm(forms.Form):
    """A band that is no longer on the bird."""

    on = _day("Off since")
    why = forms.ChoiceField(label="Why", choices=_words(WHY_OFF))
    note = forms.CharField(label="Note", max_length=200, required=False)


class MistakeForm(forms.Form):
    """A line that was written by mistake. It stays readable, with the reason."""

    because = forms.CharField(label="Why it was a mistake", max_length=300)


class MoveForm(forms.Form):
    """The bird lives in another exhibit now."""

    deed = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    to_exhibit = forms.TypedChoiceField(label="To", coerce=int)
    on = _day("Since")
    because = forms.CharField(label="Why", max_length=200, required=False)

    def __init__(self, *args: Any, exhibits: Sequence[tuple[int, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        chosen = self.fields["to_exhibit"]
        assert isinstance(chosen, forms.ChoiceField)
        chosen.choices = list(exhibits)


class SexForm(forms.Form):
    """The bird's sex became known."""

    deed = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    sex = forms.ChoiceField(
        label="Sex", choices=[("F", "female"), ("M", "male"), ("U", "not known after all")]
    )
    known_by = forms.ChoiceField(label="How it is known", choices=_words(KNOWN_BY))
    on = _day("Known since")


class IdentityForm(forms.Form):
    """What is written of who the bird is."""

    house_name = forms.CharField(label="Name", max_length=60, required=False)
    number = forms.CharField(label="The park's own number", max_length=40, required=False)
    hatched_on = forms.DateField(
        label="Hatched", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    hatched_precision = forms.ChoiceField(
        label="How closely that is known", choices=_words(("day", "month", "year", "about", "unknown"))
    )
    origin = forms.ChoiceField(
        label="Origin", choices=_words(("hatched here", "hatched elsewhere", "wild", "unknown"))
    )
    legal_mark = forms.CharField(label="Legal mark", max_length=80, required=False)
    certificate = forms.CharField(label="Certificate", max_length=80, required=False)


class SeenForm(forms.Form):
    """The bird was seen just now, outside a roll call."""

    deed = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    place = forms.TypedChoiceField(label="Where", coerce=int, required=False, empty_value=None)

    def __init__(self, *args: Any, places: Sequence[tuple[int, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        chosen = self.fields["place"]
        assert isinstance(chosen, forms.ChoiceField)
        chosen.choices = [("", "where: not said"), *places]
