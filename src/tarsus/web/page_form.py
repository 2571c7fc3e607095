"""What every form has in common: our own sentences at its fields, and a summary that leads to them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from django import forms

from tarsus.core.words.numbers import capital

_EVERY: Final = {
    "required": "Nothing is written here yet; it is needed.",
    "invalid": "This cannot be read; write it anew.",
    "max_length": "At most %(limit_value)d characters; these are %(show_value)d. Make it shorter.",
    "min_length": "At least %(limit_value)d characters; these are %(show_value)d. Make it longer.",
    "min_value": "At least %(limit_value)s; write a larger number.",
    "max_value": "At most %(limit_value)s; write a smaller number.",
    "null_characters_not_allowed": "A sign in it cannot be kept; type it anew.",
}
_NOT_CHOSEN: Final = "Nothing is chosen here yet; it is needed."
_NO_CHOICE: Final = "This is none of the choices; choose one of them."
_OF_A_KIND: Final[tuple[tuple[type[forms.Field], dict[str, str]], ...]] = (
    (forms.ChoiceField, {"required": _NOT_CHOSEN, "invalid_choice": _NO_CHOICE, "invalid_list": _NO_CHOICE}),
    (forms.IntegerField, {"invalid": "This is no whole number; write one, such as 12."}),
    (forms.FloatField, {"invalid": "This is no number; write one, such as 12.5."}),
    (forms.DateTimeField, {"invalid": "This is no day and time; write them as 2026-05-31 07:40."}),
    (forms.DateField, {"invalid": "This is no day; write it as 2026-05-31."}),
    (forms.TimeField, {"invalid": "This is no time of day; write it as 07:40."}),
    (forms.EmailField, {"invalid": "This is no mail address; it needs a name, an @ and where it is kept."}),
    (
        forms.FileField,
        {"required": "No file is chosen yet; it is needed.", "empty": "This file is empty; choose another."},
    ),
)


@dataclass(frozen=True, slots=True)
class Refused:
    """One thing to mend: the field it stands at, where there is one, and what is said of it."""

    target: str
    label: str
    says: str


class OwnWords:
    """For a form of any kind: it refuses in our own sentences, told at its head with links."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        in_own_words(self.fields.values())  # type: ignore[attr-defined]  # a form has fields

    def refusals(self) -> list[Refused]:
        """Everything to mend, in the order of the fields; what is no field's comes first."""
        form: Any = self
        first = [Refused("", "", text) for text in form.non_field_errors()]
        return first + [
            Refused(target_of(field), str(field.label), text)
            for field in form
            for text in list(field.errors)[:1]
        ]


class PageForm(OwnWords, forms.Form):
    """A form of ours."""


def in_own_words(fields: Iterable[forms.Field]) -> None:
    """Give fields our own sentences in place of the framework's; what a field says by itself stays."""
    for field in fields:
        its_own = {kind: said for kind, said in field.error_messages.items() if not _is_default(field, kind)}
        for kind, said in ((forms.Field, _EVERY), *_OF_A_KIND):
            if isinstance(field, kind):
                field.error_messages |= said
        field.error_messages |= its_own


def _is_default(field: forms.Field, kind: str) -> bool:
    """Whether a field would say a thing as every field of its type does."""
    defaults = (vars(one).get("default_error_messages", {}) for one in type(field).__mro__)
    first = next((said[kind] for said in defaults if kind in said), None)
    return field.error_messages[kind] is first


def target_of(field: Any) -> str:
    """The id to which a link to a field leads: of a group of choices the first one."""
    if field.is_hidden:
        return ""
    return str(field.id_for_label or (f"{field.auto_id}_0" if field.use_fieldset else field.auto_id))


def refused_once(says: str, target: str = "", label: str = "") -> list[Refused]:
    """One thing to mend that no form of ours has found, as a summary takes it; none for an empty sentence."""
    return [Refused(target, label, f"{capital(says)}.")] if says else []
