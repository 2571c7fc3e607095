"""Which route answers the question of each page, and which pages ask none."""

from __future__ import annotations

from typing import Final

_EXHIBIT: Final = "/exhibits/{exhibit_id}"
_FLOCK: Final = f"{_EXHIBIT}/flocks/{{lookalike}}"
_BIRD: Final = "/birds/{bird_id}"

ANSWERED: Final = {
    "today": ("/today", "/unseen", "/cases", "/duties"),
    "since": ("/news", "/notes"),
    "roll-calls": ("/today",),
    "exhibits": ("/exhibits", "/today"),
    "exhibit": (
        _EXHIBIT,
        f"{_EXHIBIT}/birds",
        f"{_EXHIBIT}/flocks",
        f"{_EXHIBIT}/presence",
        f"{_EXHIBIT}/duties",
    ),
    "readiness": (f"{_EXHIBIT}/readiness",),
    "exhibit-plan": (f"{_EXHIBIT}/plan",),
    "exhibit-plan-edit": (f"{_EXHIBIT}/plan",),
    "deeds": ("/me",),
    "deed": ("/facts/{fact_id}",),
    "find": ("/find",),
    "stock": ("/stock",),
    "flocks": ("/flocks",),
    "bird": (
        *("/birds", _BIRD, f"{_BIRD}/history", f"{_BIRD}/weights", f"{_BIRD}/days"),
        *(f"{_BIRD}/lookalikes", f"{_BIRD}/duties"),
    ),
    "flock": (_FLOCK,),
    "flock-days": (f"{_FLOCK}/days",),
    "pair": (f"{_FLOCK}/pair",),
    "roll-call": (f"{_EXHIBIT}/pack", f"{_EXHIBIT}/identify"),
    "pack": (f"{_EXHIBIT}/pack",),
    "practice": (f"{_EXHIBIT}/pack",),
    "exhibits-json": ("/exhibits",),
    "waiting": ("/waiting",),
    "who": ("/identify",),
    "in-hand": ("/in-hand/pack",),
    "in-hand-pack": ("/in-hand/pack",),
    "catch-up": ("/catch-ups", f"{_EXHIBIT}/catch-up"),
    "catch-up-of": (f"{_EXHIBIT}/catch-up",),
    "catch-up-day": ("/catch-ups", "/catch-ups/{catch_up_id}"),
    "nests": (f"{_EXHIBIT}/nests",),
    "nests-of": (f"{_EXHIBIT}/nests",),
    "arrivals": ("/arrivals",),
    "samples": ("/samples",),
    "reports": ("/reports",),
    "report": ("/reports/{name}",),
    "months": ("/months",),
    "month": ("/months/{month}",),
    "marking-desk": ("/marking-desk",),
    "marking-desk-of": (
        f"{_FLOCK}/marking-desk",
        f"{_FLOCK}/marking-desk/changes",
        f"{_FLOCK}/marking-desk/wish",
    ),
    "settings-park": ("/settings/park",),
    "settings-colours": ("/settings/colours",),
    "settings-colour": ("/settings/colours/{colour_id}",),
    "settings-species": ("/settings/species",),
    "settings-one-species": ("/settings/species/{species_id}",),
    "settings-limits": ("/settings/species/{species_id}",),
    "settings-rule": ("/settings/species/{species_id}",),
    "settings-exhibits": ("/settings/exhibits",),
    "settings-exhibit": ("/settings/exhibits/{exhibit_id}",),
    "settings-place": ("/settings/exhibits/{exhibit_id}",),
    "settings-devices": ("/settings/devices",),
    "people": ("/settings/people",),
    "person": ("/settings/people/{person_id}",),
    "person-sessions": ("/settings/people/{person_id}/sessions",),
    "sessions": ("/me/sessions",),
    "own-mail": ("/me/settings",),
    "own-phone-news": ("/me/settings",),
    "own-eyes": ("/me/settings",),
    "own-learned": ("/me/learned",),
    "soundness": ("/sound",),
    "new-park": ("/new-park",),
    "settings": ("/me/settings",),
    "import": ("/imports",),
    "import-told": ("/imports/{batch_id}", "/imports/{batch_id}/waiting"),
    "import-refused": ("/imports/{batch_id}/waiting",),
    "import-refused-workbook": ("/imports/{batch_id}/waiting",),
}
"""Pages that answer a question, each with the routes that answer it to programs."""

_PAPER: Final = "a paper: what is on it is asked by the routes of the page it hangs on"
_DEED: Final = "tells a deed, and shows nothing that its own list does not: programs tell it by /facts"
_FILE: Final = "a sheet that somebody is just reading in, in their own session: a program tells deeds"
_SHELL: Final = "the same for everybody: it holds nothing of the register"
_BEGIN: Final = "a step of beginning a park, at which deeds are told: /new-park says how far it is"
_SIGN_IN: Final = "how a person signs in; a program shows a token"

NO_QUESTION: Final = {
    **dict.fromkeys(("sign-in", "second-step-code", "sign-out", "join", "first-person"), _SIGN_IN),
    **dict.fromkeys(("second-step", "second-step-off", "second-step-reset"), _SIGN_IN),
    **dict.fromkeys(("own-phone", "own-password", "own-pin", "person-password"), _SIGN_IN),
    **dict.fromkeys(("sheet", "band-chart", "visitor-board", "brief", "exhibit-plan-paper"), _PAPER),
    **dict.fromkeys(("bird-record", "catch-up-cards", "report-as"), _PAPER),
    **dict.fromkeys(("since-seen", "tell", "facts", "catch-up-keep", "catch-up-sign"), _DEED),
    **dict.fromkeys(("catch-up-drop", "marking-keep", "marking-drop", "birds-come", "samples-send"), _DEED),
    **dict.fromkeys(("settings-colour-new", "settings-published-colours", "settings-species-new"), _DEED),
    **dict.fromkeys(("settings-exhibit-new", "settings-place-new", "person-new"), _DEED),
    **dict.fromkeys(("settings-device-back", "own-phone-news-end"), _DEED),
    **dict.fromkeys(("birds-come-sheet", "samples-read", "samples-results", "import-look"), _FILE),
    **dict.fromkeys(("import-throw-away", "import-mend", "import-example"), _FILE),
    **dict.fromkeys(
        ("more", "drawing", "on-this-phone", "service-worker", "manifest", "all-modules"), _SHELL
    ),
    **dict.fromkeys(("new-park-bands", "new-park-exhibits", "new-park-sheet", "new-park-rules"), _BEGIN),
    **dict.fromkeys(("new-park-rule", "new-park-phone", "new-park-skip"), _BEGIN),
    "phone-json": "the keys by which one phone seals what is not sent: no program's",
    "facts-refused": "what of one phone was refused late: programs ask /waiting",
    "job": "how far work is that somebody asked for on a page: theirs alone, over in minutes",
    "job-file": "the file that such work left",
    "picture": "the picture itself, which no one keeps since it goes one day",
    "visitors": "for visitors, who ask without signing in",
    "duty-calendar": "for calendar programs, in their own format, by a secret link",
    "export": "a file of whole tables: the page, and the command `tarsus export`, write it",
    "health": "for machines, at the same address, without a token",
}
"""Pages that ask no question of the register that a program could want, each with the reason."""

OF_NO_PAGE: Final = {
    "/facts": "the door",
    f"{_EXHIBIT}/roll": "the roll call that is open, which phones fold for themselves from the pack",
}
"""Routes that stand for no single page."""
