"""Where the pages used out at the exhibits are: the roll call, *Who is it?*, *In hand*."""

from __future__ import annotations

from django.conf import settings
from django.urls import URLPattern, path

from tarsus.web import in_hand, offline, roll_call, settings_devices, tell, waiting
from tarsus.web.one_script import NAME

urlpatterns: list[URLPattern] = [
    path("exhibits/<int:exhibit_id>/roll-call/", roll_call.roll_call, name="roll-call"),
    path("exhibits/<int:exhibit_id>/practice/", roll_call.practice, name="practice"),
    path("exhibits/<int:exhibit_id>/pack.json", roll_call.pack, name="pack"),
    path("exhibits.json", roll_call.exhibits, name="exhibits-json"),
    path("facts", roll_call.facts, name="facts"),
    path("phone.json", roll_call.phone, name="phone-json"),
    path("facts/refused.json", waiting.refused, name="facts-refused"),
    path("waiting/", waiting.waiting, name="waiting"),
    path("who/", roll_call.who, name="who"),
    path("tell/", tell.tell, name="tell"),
    path("in-hand/", in_hand.in_hand, name="in-hand"),
    path("in-hand/pack.json", in_hand.pack, name="in-hand-pack"),
    path("service-worker.js", offline.worker_entry, name="service-worker"),
    path(f"{settings.STATIC_URL.strip('/')}/{NAME}", offline.all_modules, name="all-modules"),
    path("manifest.webmanifest", offline.manifest, name="manifest"),
    path("settings/devices/", settings_devices.device_list, name="settings-devices"),
    path("settings/devices/<int:device_id>/back/", settings_devices.take_back, name="settings-device-back"),
]
