"""What makes a phone keep the pages: the manifest and the service worker. Both carry nothing of any bird."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from pathlib import Path

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.templatetags.static import static
from django.views.decorators.http import require_GET

from tarsus.web.access import anyone
from tarsus.web.one_script import CLASSIC, NAME, STATIC, one_script, stands_on
from tarsus.web.tell import deeds_of_a_phone

FOLDERS = ("css", "icons")
ENDINGS = {".css", ".png", ".svg"}
WORKERS = ("worker/offline.js", "worker/photograph.js")
"""Run beside the pages, each from its own modules."""
FOR_EVER = "max-age=315360000, public, immutable"
PATIENCE_MS = 3000
"""How long a phone waits for a page before it shows what it knows; the answer is taken when it comes."""


@cache
def kept_files() -> tuple[tuple[str, ...], str]:
    """The addresses of everything the pages stand on, and a digest of its contents: the worker's version."""
    beside = {module for worker in WORKERS for module in stands_on(worker)}
    seen = {file for folder in FOLDERS for file in (STATIC / folder).rglob("*") if file.suffix in ENDINGS}
    looks = {file.relative_to(STATIC).as_posix() for file in seen}
    held = {name: (STATIC / name).read_bytes() for name in beside | CLASSIC | looks}
    held[NAME] = one_script().encode()
    digest = hashlib.sha256()
    for name in sorted(held):
        digest.update(name.encode() + b"\0" + held[name])
    for shell in (
        "phone_shell.html",
        "nav.html",
        "roll_call.html",
        "practice.html",
        "who.html",
        "in_hand.html",
        "on_this_phone.html",
        "tell.html",
    ):
        digest.update((Path(__file__).parent / "templates" / "web" / shell).read_bytes())
    digest.update(deeds_of_a_phone().encode())
    return tuple(static(name) for name in sorted(held)), digest.hexdigest()[:16]


@anyone
@require_GET
def all_modules(_request: HttpRequest) -> HttpResponse:
    """Every module of the pages in one file. Its address carries the build, so it never changes."""
    return HttpResponse(
        one_script(), content_type="text/javascript; charset=utf-8", headers={"Cache-Control": FOR_EVER}
    )


@anyone
@require_GET
def worker_entry(_request: HttpRequest) -> HttpResponse:
    """The worker's entry, at the root so that it may keep every page."""
    files, version = kept_files()
    build = {
        "version": version,
        "staticAt": settings.STATIC_URL,
        "files": list(files),
        "patienceMs": PATIENCE_MS,
    }
    text = (
        f"import {{ start }} from {json.dumps(static('worker/offline.js'))};\nstart({json.dumps(build)});\n"
    )
    return HttpResponse(
        text, content_type="text/javascript; charset=utf-8", headers={"Cache-Control": "no-cache"}
    )


@anyone
@require_GET
def manifest(_request: HttpRequest) -> JsonResponse:
    """What the phone calls the app once it is on its first screen."""
    icons = [
        {"src": static(f"icons/phone-{size}.png"), "sizes": f"{size}x{size}", "type": "image/png"}
        for size in (192, 512)
    ]
    masked = {"src": static("icons/phone-mask-512.png"), "sizes": "512x512", "type": "image/png"}
    told = {
        "name": "Tarsus",
        "short_name": "Tarsus",
        "description": "Every bird seen, every day.",
        "id": "/",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#f3f5ef",
        "theme_color": "#f3f5ef",
        "icons": [*icons, masked | {"purpose": "maskable"}],
    }
    return JsonResponse(told, content_type="application/manifest+json")
