"""Deeds of signing in: the second step, and ending what is signed in elsewhere."""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import Field, Kind
from tarsus.core.deeds.rights import ADMINISTRATOR, VIEWER

_CURRENT: Final = Field("current", Kind.SECRET, "Your password", required=True, longest=128, column="-")
_SET_UP: Final = "set it up anew"
_SIGN_IN: Final = "sign in again there"

SIGNING_IN: Final = (
    Deed(
        "second_step_set",
        "Your second step of signing in",
        (
            _CURRENT,
            Field("secret", Kind.SECRET, "Key in the app", required=True, longest=64, column="-"),
            Field("code", Kind.SECRET, "Code that the app shows", required=True, longest=12, column="-"),
        ),
        "A second step of signing in was set.",
        (VIEWER,),
        final=_SET_UP,
        when="",
        page="second-step",
        of_oneself=True,
    ),
    Deed(
        "second_step_off",
        "Sign in without a second step",
        (_CURRENT,),
        "The second step of signing in was switched off.",
        (VIEWER,),
        final=_SET_UP,
        when="",
        page="second-step",
        of_oneself=True,
    ),
    Deed(
        "second_step_reset",
        "Take somebody's second step off",
        (Field("person", Kind.PERSON, "Person", required=True, column="-"),),
        "The second step of {person} was taken off.",
        (ADMINISTRATOR,),
        final="that person sets it up anew",
        when="",
    ),
    Deed(
        "own_sessions_ended",
        "End where you are signed in",
        (Field("sessions", Kind.WORDS, "Which", required=True, longest=20, column="-"),),
        "Was signed out elsewhere.",
        (VIEWER,),
        final=_SIGN_IN,
        when="",
        page="sessions",
        of_oneself=True,
    ),
    Deed(
        "sessions_ended",
        "End where somebody is signed in",
        (
            Field("person", Kind.PERSON, "Person", required=True, column="-"),
            Field("sessions", Kind.WORDS, "Which; all of them where none is named", longest=20, column="-"),
        ),
        "{person} was signed out.",
        (ADMINISTRATOR,),
        final=_SIGN_IN,
        when="",
    ),
)
