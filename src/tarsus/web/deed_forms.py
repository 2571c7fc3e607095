"""The form of a deed, made from its declaration: nothing about a deed is written down here a second time."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from typing import Any, Final

from django import forms
from django.utils import timezone

from tarsus.core.deeds.days import wrong_day
from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import BY_ID, BY_NUMBER, SEVERAL, Field, Kind
from tarsus.queries.named_rows import choices_of, names_of
from tarsus.queries.whose import owners_to_choose
from tarsus.web.page_form import PageForm, in_own_words

Named = Sequence[tuple[Any, str]]
_WORDS: Final = frozenset({Kind.COLOUR, Kind.LOOKALIKE})
_YES_NO: Final = (("", "not said"), ("yes", "yes"), ("no", "no"))
_CHOSEN: Final = BY_NUMBER | BY_ID | _WORDS


class DeedForm(PageForm):
    """One deed to be told. What the address names already is kept and not asked again."""

    deed_id = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

    def __init__(
        self,
        deed: Deed,
        said: Mapping[str, Any] | None,
        *,
        named: Mapping[str, Any],
        before: Mapping[str, Any],
        corrects: uuid.UUID | None = None,
        at: datetime | None = None,
    ) -> None:
        super().__init__(said)
        self.deed, self.corrects, self._before = deed, corrects, before
        self.wrote: Mapping[str, Any] = {}
        needless = {field.name for field in deed.fields if field.instead_of in named}
        self.named = {name: str(value) for name, value in named.items() if name not in needless}
        for field in (field for field in deed.fields if field.name not in needless):
            if field.name in self.named or (field.on_form and field.kind not in (Kind.PART, Kind.PARTS)):
                self.fields[field.name] = self._field(field, before)
        if deed.when:
            self.fields["at"] = _when(deed, at)
        if corrects is not None and "why_corrected" not in self.fields and deed.name != "withdrawn":
            self.fields["why_corrected"] = forms.CharField(
                label="What was wrong with it", max_length=LONGEST_REASON
            )
        in_own_words(self.fields.values())

    def _field(self, field: Field, before: Mapping[str, Any]) -> forms.Field:
        if field.name in self.named and field.kind in _CHOSEN:
            return forms.CharField(
                widget=forms.HiddenInput, initial=self.named[field.name], required=field.required
            )
        initial = self.named.get(field.name, before.get(field.name, field.initial))
        made = _made(field, self._choices(field, initial))
        made.initial = _initial(field, initial)
        return made

    def _choices(self, field: Field, initial: Any) -> Named:
        """What may be chosen, and what stands there already even where it is no longer offered."""
        exhibit, bird = self.named.get("exhibit"), self.named.get("bird")
        if field.kind is Kind.BAND and (found := self._found()) is not None:
            return tuple((str(key), words) for key, words in owners_to_choose(found))
        offered = dict(
            choices_of(
                field.kind,
                bird=int(bird) if bird and bird.isdecimal() else None,
                exhibit=int(exhibit) if exhibit and exhibit.isdecimal() else None,
            )
        )
        there = initial if isinstance(initial, list | tuple) else [initial] if initial else []
        if field.kind in BY_NUMBER or field.kind in SEVERAL:
            there = [int(key) for key in there if str(key).isdecimal()]
        if field.kind not in _WORDS:
            offered |= names_of(field.kind, [key for key in there if key not in offered])
        return tuple((str(key), words) for key, words in offered.items())

    def _found(self) -> uuid.UUID | None:
        """The band found whose owner is named; none where the form is of another deed."""
        if self.deed.name != "band_owner_named":
            return None
        try:
            return uuid.UUID(str(self.named.get("found") or self._before.get("found")))
        except ValueError:
            return None

    def shown(self) -> list[tuple[str, str]]:
        """What the address names, in words: label and name."""
        told = []
        for field in self.deed.fields:
            key = self.named.get(field.name)
            if key is None or field.kind not in _CHOSEN:
                continue
            if field.kind in _WORDS:
                told.append((field.label, key))
                continue
            names = names_of(field.kind, [int(key)] if field.kind in BY_NUMBER and key.isdecimal() else [key])
            told += [(field.label, name) for name in names.values()]
        return told

    def fact(self, by: int) -> dict[str, Any]:
        """The fact that this form tells."""
        data = self.cleaned_data
        told: dict[str, Any] = {
            "id": str(data["deed_id"]),
            "kind": self.deed.name,
            "at": _moment(data.get("at")).isoformat(),
            "by": by,
        }
        for field in self.deed.fields:
            if field.name in self.fields:
                said = _plain(field, data.get(field.name))
                if said is not None or self.deed.partial:
                    told[field.name] = said
        if self.corrects is not None:
            told["corrects"] = str(self.corrects)
            if "why_corrected" in data:
                told["why_corrected"] = data["why_corrected"]
        return told

    def refuse(self, place: str, sentence: str) -> None:
        """Write a refusal to the field it names."""
        name = place.split("[")[0].split(".")[0]
        self.add_error(
            name if name in self.fields and not self.fields[name].widget.is_hidden else None, sentence
        )


def _when(deed: Deed, at: datetime | None) -> forms.Field:
    if deed.when == "day":
        first = timezone.localtime(at).date() if at else timezone.localdate
        return forms.DateField(label="When", widget=_day_box(), initial=first, required=False)
    box = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    return forms.DateTimeField(
        label="When",
        widget=box,
        initial=timezone.localtime(at) if at else timezone.localtime,
        required=False,
    )


def _day_box() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class _DayField(forms.DateField):
    """A day that is refused where it stands, before what will be written is shown."""

    def __init__(self, declared: Field, **common: Any) -> None:
        super().__init__(**common)
        self._declared = declared

    def validate(self, value: date | None) -> None:
        super().validate(value)
        if value is not None and (wrong := wrong_day(self._declared, value, timezone.localdate())):
            raise forms.ValidationError(f"{wrong}.")


def _made(field: Field, choices: Named) -> forms.Field:
    """The form's field for a declared one."""
    common: dict[str, Any] = {
        "label": field.label,
        "required": field.required,
        "help_text": field.hint,
    }
    if field.unit:
        common["label"] = f"{field.label}, {field.unit}"
    match field.kind:
        case Kind.LINE:
            return forms.CharField(max_length=field.longest, **common)
        case Kind.TEXT:
            box = forms.Textarea(attrs={"rows": 3})
            return forms.CharField(max_length=field.longest, widget=box, **common)
        case Kind.SECRET:
            return forms.CharField(max_length=field.longest, widget=forms.PasswordInput, **common)
        case Kind.NUMBER:
            return forms.FloatField(min_value=field.low, max_value=field.high, **common)
        case Kind.WHOLE:
            low, high = field.low, field.high
            return forms.IntegerField(min_value=int(low or 0), max_value=int(high or 0), **common)
        case Kind.DAY:
            return _DayField(field, widget=_day_box(), **common)
        case Kind.FLAG:
            if field.initial == "unsaid":
                return forms.ChoiceField(choices=_YES_NO, **common)
            return forms.BooleanField(**(common | {"required": False}))
    return _chosen(field, choices, common)


def _chosen(field: Field, choices: Named, common: dict[str, Any]) -> forms.Field:
    if field.kind is Kind.WORDS and not field.choices:
        box = forms.Textarea(attrs={"rows": 2})
        return forms.CharField(widget=box, **(common | {"help_text": field.hint or "One a line."}))
    if field.kind in (Kind.CHOICES, Kind.WORDS):
        return forms.MultipleChoiceField(choices=field.choices, widget=forms.CheckboxSelectMultiple, **common)
    if field.kind in SEVERAL:
        return forms.MultipleChoiceField(choices=choices, widget=forms.CheckboxSelectMultiple, **common)
    offered = field.choices if field.kind is Kind.CHOICE else choices
    empty = [] if field.required and field.initial else [("", "choose" if field.required else "not said")]
    return forms.ChoiceField(choices=[*empty, *offered], **common)


def _initial(field: Field, value: Any) -> Any:
    if field.kind is Kind.FLAG:
        if field.initial == "unsaid":
            return {True: "yes", False: "no"}.get(value, "") if isinstance(value, bool) else ""
        return value in (True, "true", "yes", "1")
    if value == "today" and field.kind is Kind.DAY:
        return timezone.localdate()
    if field.kind is Kind.WORDS and not field.choices:
        return "\n".join(value or ())
    if field.kind in SEVERAL:
        several = value if isinstance(value, list | tuple) else [value] if value else []
        return [str(key) for key in several]
    return value


def _plain(field: Field, value: Any) -> Any:
    """A value of the form as plain JSON; none where nothing was said."""
    if field.kind is Kind.FLAG:
        return {"yes": True, "no": False}.get(value) if field.initial == "unsaid" else bool(value)
    if value in (None, "", []):
        return None
    if field.kind is Kind.WORDS and isinstance(value, str):
        return [line.strip() for line in value.splitlines() if line.strip()] or None
    if field.kind in BY_NUMBER:
        return int(value) if str(value).isdecimal() else value
    if field.kind in SEVERAL:
        return [int(key) for key in value]
    return value.isoformat() if isinstance(value, date) else value


def _moment(said: Any) -> datetime:
    """A day or a moment of the form: now for today, noon by the park's clock for another day."""
    if said is None or said == timezone.localdate():
        return timezone.now()
    if isinstance(said, datetime):
        return said
    return timezone.make_aware(datetime.combine(said, time(12)))
