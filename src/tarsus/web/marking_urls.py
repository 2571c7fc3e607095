"""Addresses of the marking desk."""

from __future__ import annotations

from django.urls import URLPattern, path

from tarsus.web import marking_desk

urlpatterns: list[URLPattern] = [
    path("marking-desk/", marking_desk.desks, name="marking-desk"),
    path("marking-desk/<int:exhibit_id>/<str:lookalike>/", marking_desk.desk, name="marking-desk-of"),
    path("marking-desk/<int:exhibit_id>/<str:lookalike>/keep/", marking_desk.keep, name="marking-keep"),
    path(
        "marking-desk/<int:exhibit_id>/<str:lookalike>/drop/<int:planned_id>/",
        marking_desk.drop,
        name="marking-drop",
    ),
]
