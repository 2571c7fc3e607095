"""Where the pages are."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

from tarsus.web import (
    bird,
    deeds,
    exhibit,
    finder,
    flock,
    pair,
    papers,
    record,
    second_step,
    sheet,
    sign_in,
    since,
    standing,
    stock,
    today,
)

urlpatterns: list[URLPattern | URLResolver] = [
    path("sign-in/", sign_in.sign_in, name="sign-in"),
    path("sign-in/code/", second_step.code, name="second-step-code"),
    path("sign-out/", sign_in.sign_out, name="sign-out"),
    path("", today.today, name="today"),
    path("since/", since.since, name="since"),
    path("since/seen/", since.seen, name="since-seen"),
    path("roll-call/", today.roll_calls, name="roll-calls"),
    path("exhibits/", today.exhibits, name="exhibits"),
    path("exhibits/<int:exhibit_id>/", exhibit.exhibit, name="exhibit"),
    path("exhibits/<int:exhibit_id>/ready/", exhibit.readiness, name="readiness"),
    path("exhibits/<int:exhibit_id>/sheet.pdf", sheet.sheet, name="sheet"),
    path("exhibits/<int:exhibit_id>/bands-<str:size>.pdf", papers.chart, name="band-chart"),
    path("exhibits/<int:exhibit_id>/brief.pdf", since.brief, name="brief"),
    path("deeds/", deeds.deeds, name="deeds"),
    path("deeds/<str:name>/", deeds.deed, name="deed"),
    path("find/", finder.find, name="find"),
    path("stock/", stock.stock, name="stock"),
    path("flocks/", exhibit.flocks, name="flocks"),
    path("birds/<int:bird_id>/", bird.bird, name="bird"),
    path("birds/<int:bird_id>/record.pdf", record.record, name="bird-record"),
    path("flocks/<int:exhibit_id>/<str:lookalike>/", flock.flock, name="flock"),
    path("flocks/<int:exhibit_id>/<str:lookalike>/days/", flock.days, name="flock-days"),
    path("flocks/<int:exhibit_id>/<str:lookalike>/pair/<int:one>/<int:other>/", pair.pair, name="pair"),
    path("", include("tarsus.web.roll_call_urls")),
    path("", include("tarsus.web.import_urls")),
    path("", include("tarsus.web.care_urls")),
    path("", include("tarsus.web.marking_urls")),
    path("more/", standing.more, name="more"),
    path("", include("tarsus.web.settings_urls")),
    path("", include("tarsus.web.new_park_urls")),
    path("on-this-phone/", standing.on_this_phone, name="on-this-phone"),
    path("drawing/", standing.drawing, name="drawing"),
]
