"""Where the pages of a new park are, and the two that nobody needs to be signed in for."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from tarsus.web import first_person, new_park, phone

urlpatterns: list[URLPattern | URLResolver] = [
    path("first/<str:secret>/", first_person.first_person, name="first-person"),
    path("new-park/", new_park.overview, name="new-park"),
    path("new-park/bands/", new_park.bands, name="new-park-bands"),
    path("new-park/exhibits/", new_park.exhibits, name="new-park-exhibits"),
    path("new-park/sheet/", new_park.sheet, name="new-park-sheet"),
    path("new-park/rules/", new_park.rules, name="new-park-rules"),
    path("new-park/rules/<int:species_id>/", new_park.rules, name="new-park-rule"),
    path("new-park/phone/", new_park.phone, name="new-park-phone"),
    path("new-park/skip/<str:step>/", new_park.skip, name="new-park-skip"),
    path("join/<str:code>/", phone.join, name="join"),
    path("settings/phone/", phone.own_phone, name="own-phone"),
]
