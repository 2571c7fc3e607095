"""Signing in and out, and what is said after too many wrong passwords."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from django import forms
from django.conf import settings
from django.contrib.auth import views as auth_views
from django.contrib.auth.forms import AuthenticationForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from tarsus.queries.people import nobody_may_sign_in
from tarsus.web.access import anyone
from tarsus.web.page_form import OwnWords
from tarsus.web.second_step import owe_the_code


class SignInForm(OwnWords, AuthenticationForm):
    """Name and password. A refusal does not say which of the two was wrong."""

    error_messages = {
        "invalid_login": "This name and password do not go together. Small and capital letters matter.",
        "inactive": "This name may no longer sign in. Ask an administrator.",
    }

    def __init__(self, request: Any = None, *args: Any, **kwargs: Any) -> None:
        super().__init__(request, *args, **kwargs)
        self.fields["username"].label = "Name"
        self.fields["username"].widget = forms.TextInput(
            attrs={"autocapitalize": "none", "autocomplete": "username", "spellcheck": "false"}
        )
        self.fields["username"].error_messages |= {"required": "Write the name you sign in with."}
        self.fields["password"].error_messages |= {"required": "Write your password."}


class _SignIn(auth_views.LoginView):
    template_name = "web/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Sign in; sessions that ran out are cleared away meanwhile, so that nobody has to think of it."""
        import_module(settings.SESSION_ENGINE).SessionStore.clear_expired()
        person: Any = form.get_user()
        if person.second_since is not None:
            return owe_the_code(self.request, person, self.get_success_url())
        return super().form_valid(form)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(**kwargs) | {"nobody": nobody_may_sign_in()}


sign_in = anyone(_SignIn.as_view())
sign_out = anyone(auth_views.LogoutView.as_view())


def locked_out(request: HttpRequest, _response: Any, _credentials: Any) -> HttpResponse:
    """The sign-in page after too many wrong passwords: how long to wait, and who can help."""
    minutes = round(settings.AXES_COOLOFF_TIME * 60)
    form = SignInForm(request, initial={"username": request.POST.get("username", "")})
    told = {"form": form, "locked_minutes": minutes, "next": request.POST.get("next", "")}
    return render(request, "web/sign_in.html", told, status=429)
