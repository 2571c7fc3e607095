"""Addresses of the catch-up, of the nests, of samples, of the reports and the months."""

from __future__ import annotations

from django.urls import URLPattern, path

from tarsus.web import arrivals, calendar, catch_up, export, months, papers, reports, samples
from tarsus.web.nests import nests, nests_of

urlpatterns: list[URLPattern] = [
    path("catch-up/", catch_up.catch_ups, name="catch-up"),
    path("catch-up/<int:exhibit_id>/", catch_up.catch_up, name="catch-up-of"),
    path("catch-up/<int:exhibit_id>/keep/", catch_up.keep, name="catch-up-keep"),
    path("catch-up/<int:exhibit_id>/sign/", catch_up.sign, name="catch-up-sign"),
    path("catch-up/drop/<int:catch_up_id>/", catch_up.drop, name="catch-up-drop"),
    path("catch-up/kept/<int:catch_up_id>/", catch_up.day, name="catch-up-day"),
    path("catch-up/kept/<int:catch_up_id>/cards.pdf", papers.cards, name="catch-up-cards"),
    path("nests/", nests, name="nests"),
    path("nests/<int:exhibit_id>/", nests_of, name="nests-of"),
    path("arrivals/", arrivals.arrivals, name="arrivals"),
    path("arrivals/new/", arrivals.new, name="birds-come"),
    path("arrivals/sheet/", arrivals.sheet, name="birds-come-sheet"),
    path("samples/", samples.samples, name="samples"),
    path("samples/send/", samples.send, name="samples-send"),
    path("samples/file/", samples.read, name="samples-read"),
    path("samples/results/", samples.results, name="samples-results"),
    path("calendar/<str:key>.ics", calendar.duties, name="duty-calendar"),
    path("export/", export.export, name="export"),
    path("reports/", reports.reports, name="reports"),
    path("reports/<str:name>/", reports.report, name="report"),
    path("reports/<str:name>/<str:form>/", reports.report, name="report-as"),
    path("months/", months.months, name="months"),
    path("months/<str:month>/", months.month, name="month"),
]
