"""What somebody asks to be mailed."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction

from tarsus.actions.known import known_person
from tarsus.actions.settings.rows import save_row
from tarsus.core.deeds.rights import ADMINISTRATOR, passes_for
from tarsus.core.errors import WrongValue
from tarsus.records.models import MailWish


@transaction.atomic
def set_mail(*, by: int, address: str, duties: bool, search: bool, backups: bool) -> None:
    """Write down what a person asks to be mailed, and where to; nothing chosen is nothing mailed.

    Raises:
        Unknown: no such person.
        WrongValue: something is chosen and the address is missing or none, or backups by somebody who does
            not look after them.
    """
    person = known_person(by)
    address = address.strip()
    if backups and not passes_for(person.role, ADMINISTRATOR):
        raise WrongValue("backups", "are the administrator's to hear of; leave them out")
    if address or duties or search or backups:
        try:
            validate_email(address)
        except ValidationError:
            raise WrongValue("address", "is no mail address; write one such as name@park.example") from None
    row = MailWish.objects.filter(person_id=by).first() or MailWish(person_id=by)
    save_row(row, {"address": address, "duties": duties, "search": search, "backups": backups}, by)
