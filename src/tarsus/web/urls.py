"""Where the pages are."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

from tarsus.web import bird, exhibit, flock, sheet, sign_in, standing, today
from tarsus.web import bird_corrections as corrections

urlpatterns: list[URLPattern | URLResolver] = [
    path("sign-in/", sign_in.sign_in, name="sign-in"),
    path("sign-out/", sign_in.sign_out, name="sign-out"),
    path("", today.today, name="today"),
    path("today/forecast/", today.forecast, name="forecast"),
    path("roll-call/", today.roll_calls, name="roll-calls"),
    path("exhibits/", today.exhibits, name="exhibits"),
    path("exhibits/<int:exhibit_id>/", exhibit.exhibit, name="exhibit"),
    path("exhibits/<int:exhibit_id>/sheet.pdf", sheet.sheet, name="sheet"),
    path("flocks/", exhibit.flocks, name="flocks"),
    path("birds/<int:bird_id>/", bird.bird, name="bird"),
    path("birds/<int:bird_id>/seen/", corrections.seen, name="bird-seen"),
    path("birds/<int:bird_id>/bands/new/", corrections.band_on, name="bird-band-on"),
    path("birds/<int:bird_id>/bands/<int:band_id>/off/", corrections.band_off, name="bird-band-off"),
    path(
        "birds/<int:bird_id>/bands/<int:band_id>/mistake/", corrections.band_mistake, name="bird-band-mistake"
    ),
    path("birds/<int:bird_id>/move/", corrections.move, name="bird-move"),
    path("birds/<int:bird_id>/sex/", corrections.sex, name="bird-sex"),
    path("birds/<int:bird_id>/identity/", corrections.identity, name="bird-identity"),
    path("flocks/<int:exhibit_id>/<str:lookalike>/", flock.flock, name="flock"),
    path("", include("tarsus.web.roll_call_urls")),
    path("", include("tarsus.web.import_urls")),
    path("", include("tarsus.web.care_urls")),
    path("", include("tarsus.web.marking_urls")),
    path("more/", standing.more, name="more"),
    path("", include("tarsus.web.settings_urls")),
    path("drawing/", standing.drawing, name="drawing"),
]
