"""Settings: what is mailed to the person who is signed in."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from tarsus.queries.settings_page import mail_values
from tarsus.web.access import ADMINISTRATOR, may_tell, passes, person_id
from tarsus.web.settings_forms import MailForm
from tarsus.web.settings_park import shown
from tarsus.web.telling import told

NO_SERVER = "This installation names no mail server yet (TARSUS_MAIL_HOST): nothing is sent until it does."


@may_tell("mail_set")
def own_mail(request: HttpRequest) -> HttpResponse:
    """What is mailed to oneself once a day; nothing, until one asks."""
    form = MailForm(request.POST or None, initial=mail_values(person_id(request)))
    if not passes(request.user, ADMINISTRATOR):
        del form.fields["backups"]
    if request.method == "POST" and form.is_valid():
        values = {"address": "", "backups": False, **form.cleaned_data}
        if told(request, form, "mail_set", values):
            messages.success(request, "Saved.")
            return redirect("settings")
    caution = "" if settings.EMAIL_HOST else NO_SERVER
    return shown(request, form, "What is mailed to you", "settings", caution)
