"""`tarsus letters`: what is due, by mail and on phones, to each person who asked, once a day."""

from __future__ import annotations

import argparse
from typing import Final

from tarsus.cli.running import parser_for, print_document
from tarsus.core.errors import MalformedInput

SUMMARY: Final = "Tell each person who asked what is overdue, by mail or phone, once a day."


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("letters", SUMMARY)
    options.add_argument("--look", action="store_true", help="print the letters and send none")
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of lines")
    return options


def run(args: list[str]) -> int:
    """Send what is due; 1 where a letter could not be sent, else 0."""
    wishes = parser().parse_args(args)
    from tarsus.cli.register import open_register

    open_register(wishes.home, migrate=False)
    from django.conf import settings
    from django.utils import timezone

    from tarsus.actions.letters import send_letters
    from tarsus.actions.phone_news.sending import send_phone_news

    ways = [
        send
        for send, on in ((send_letters, settings.EMAIL_HOST), (send_phone_news, settings.PUSH_SERVICES))
        if on or wishes.look
    ]
    if not ways:
        raise MalformedInput(
            "TARSUS_MAIL_HOST",
            "names no mail server, and TARSUS_PUSH_SERVICES no push service; set one, or look with --look",
        )
    told = [one for send in ways for one in send(timezone.now(), only_look=wishes.look)]
    if wishes.json:
        print_document({"letters": [{"person": o.person, "outcome": o.outcome, "why": o.why} for o in told]})
    elif not told:
        print("Nobody asked for letters: each person does, under Settings, What is mailed to you.")
    else:
        for one in told:
            print(f"{one.person}: {one.outcome}{f' ({one.why})' if one.why else ''}")
            if wishes.look and one.text:
                print(f"\n{one.text}")
    return int(not wishes.look and any(one.outcome == "not sent" for one in told))
