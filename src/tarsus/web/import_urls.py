"""Where the pages of the import are."""

from __future__ import annotations

from django.urls import URLPattern, path

from tarsus.web import import_example, import_pages

urlpatterns: list[URLPattern] = [
    path("import/", import_pages.choose, name="import"),
    path("import/example.csv", import_example.example, name="import-example"),
    path("import/look/", import_pages.look, name="import-look"),
    path("import/throw-away/", import_pages.throw_away, name="import-throw-away"),
    path("import/<int:batch_id>/", import_pages.told, name="import-told"),
    path("import/<int:batch_id>/refused.csv", import_pages.refused_list, name="import-refused"),
    path("import/<int:batch_id>/refused.xlsx", import_pages.refused_workbook, name="import-refused-workbook"),
    path("import/<int:batch_id>/<int:line>/", import_pages.mend, name="import-mend"),
]
