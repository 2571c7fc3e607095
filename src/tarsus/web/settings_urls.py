"""Where the settings are."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from tarsus.web import second_step, sessions, soundness
from tarsus.web import settings_exhibits as places
from tarsus.web import settings_mail as mail
from tarsus.web import settings_park as park
from tarsus.web import settings_people as people
from tarsus.web import settings_phone_news as phone_news
from tarsus.web import settings_species as species

urlpatterns: list[URLPattern | URLResolver] = [
    path("settings/", park.settings, name="settings"),
    path("settings/park/", park.park, name="settings-park"),
    path("settings/colours/", park.colours, name="settings-colours"),
    path("settings/colours/published/", park.published_colours, name="settings-published-colours"),
    path("settings/colours/new/", park.colour, name="settings-colour-new"),
    path("settings/colours/<int:colour_id>/", park.colour, name="settings-colour"),
    path("settings/species/", species.species_list, name="settings-species"),
    path("settings/species/new/", species.species, name="settings-species-new"),
    path("settings/species/<int:species_id>/", species.species, name="settings-one-species"),
    path("settings/species/<int:species_id>/limits/", species.limits, name="settings-limits"),
    path("settings/species/<int:species_id>/rule/", species.rule, name="settings-rule"),
    path("settings/exhibits/", places.exhibit_list, name="settings-exhibits"),
    path("settings/exhibits/new/", places.exhibit, name="settings-exhibit-new"),
    path("settings/exhibits/<int:exhibit_id>/", places.exhibit, name="settings-exhibit"),
    path("settings/exhibits/<int:exhibit_id>/places/new/", places.place, name="settings-place-new"),
    path("settings/exhibits/<int:exhibit_id>/places/<int:place_id>/", places.place, name="settings-place"),
    path("settings/people/", people.people, name="people"),
    path("settings/people/new/", people.person, name="person-new"),
    path("settings/people/<int:of>/", people.person, name="person"),
    path("settings/people/<int:of>/password/", people.person_password, name="person-password"),
    path("settings/password/", people.own_password, name="own-password"),
    path("settings/people/<int:of>/second-step-off/", second_step.reset, name="second-step-reset"),
    path("settings/people/<int:of>/sessions/", sessions.sessions_of_person, name="person-sessions"),
    path("settings/sessions/", sessions.sessions_page, name="sessions"),
    path("settings/second-step/", second_step.second_step, name="second-step"),
    path("settings/second-step/off/", second_step.off, name="second-step-off"),
    path("settings/pin/", people.own_pin, name="own-pin"),
    path("settings/mail/", mail.own_mail, name="own-mail"),
    path("settings/phone-news/", phone_news.own_phone_news, name="own-phone-news"),
    path("settings/phone-news/<int:phone_id>/end/", phone_news.end_phone_news, name="own-phone-news-end"),
    path("settings/eyes/", people.eyes, name="own-eyes"),
    path("settings/eyes/learned/", people.learned, name="own-learned"),
    path("settings/sound/", soundness.sound, name="soundness"),
    path("health", soundness.health, name="health"),
]
