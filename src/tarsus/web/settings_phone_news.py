"""Settings: what is told on the phone in one's hand, through the push service of its browser."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from tarsus.actions.phone_news.own_key import own_key
from tarsus.actions.phone_news.sealing import public_point, written
from tarsus.queries.phone_news import phones_told
from tarsus.web.access import ADMINISTRATOR, may_tell, passes, person_id
from tarsus.web.page_form import PageForm
from tarsus.web.telling import done, told


class PhoneNewsForm(PageForm):
    """What is told, and the three things that only the phone's own browser knows."""

    name = forms.CharField(label="This phone", max_length=80, initial="My phone")
    search = forms.BooleanField(label="Whom to search for", required=False, initial=True)
    duties = forms.BooleanField(label="What is overdue, of your own", required=False)
    backups = forms.BooleanField(label="Backups that are missing", required=False)
    endpoint = forms.CharField(widget=forms.HiddenInput, max_length=2000)
    key = forms.CharField(widget=forms.HiddenInput, max_length=100)
    auth = forms.CharField(widget=forms.HiddenInput, max_length=40)


@may_tell("phone_news_asked")
def own_phone_news(request: HttpRequest) -> HttpResponse:
    """The phones of whoever is signed in that are told once a day, and a button to be told on this one."""
    form = PhoneNewsForm(request.POST or None)
    if not passes(request.user, ADMINISTRATOR):
        del form.fields["backups"]
    sent = request.method == "POST" and form.is_valid()
    if sent and told(request, form, "phone_news_asked", {"backups": False, **form.cleaned_data}):
        messages.success(request, "This phone is told once a day, if there is anything to tell.")
        return redirect("own-phone-news")
    on = bool(settings.PUSH_SERVICES)
    shown = {
        "form": form,
        "phones": phones_told(person_id(request)),
        "on": on,
        "park_key": written(public_point(own_key(settings.HOME).public_key())) if on else "",
    }
    return render(request, "web/settings_phone_news.html", shown, status=422 if form.errors else 200)


@may_tell("phone_news_ended")
@require_POST
def end_phone_news(request: HttpRequest, phone_id: int) -> HttpResponse:
    """Tell one phone of one's own no more."""
    done(request, "phone_news_ended", {"phone": phone_id}, "That phone is told nothing any more.")
    return redirect("own-phone-news")
