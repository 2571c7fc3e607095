"""A long file is brought in in the background: its page shows how far, then leads to what was done."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

import wendlebrook
from pages import shown
from tarsus.actions.jobs import jobs_at_work
from tarsus.records.models import Bird, Job, Person, Weighing
from tarsus.web.import_jobs import AT_ONCE
from tarsus.web.import_looked import LONG

pytestmark = pytest.mark.django_db(transaction=True)
LONGEST_S = 120


def browser(login: str) -> Client:
    client = Client()
    client.force_login(Person.objects.get(login=login), backend="django.contrib.auth.backends.ModelBackend")
    return client


def sent(client: Client, contents: str) -> str:
    """Where the form leads once the file was brought in."""
    client.post("/import/", {"file": SimpleUploadedFile("long.csv", contents.encode())})
    shown = client.get("/import/look/").context
    columns = {f"column-{one.place}": one.field for one in shown["columns"]}
    answer = client.post(
        "/import/look/", {**columns, "what": shown["what"], "letters": "wader", "bring": "1"}
    )
    assert answer.status_code == 302, answer.content.decode()
    return str(answer["Location"])


def over() -> None:
    until = time.monotonic() + LONGEST_S
    while jobs_at_work():
        assert time.monotonic() < until, "the job does not end"
        time.sleep(0.02)


def test_a_long_file_of_birds_goes_on_while_the_page_is_closed(
    transactional_db: None, tmp_path: Path, settings: object
) -> None:
    settings.HOME = tmp_path  # type: ignore[attr-defined]  # pytest-django's settings
    wendlebrook.build()
    client = browser("maren")
    species = Bird.objects.select_related("species")[0].species.name
    before = Bird.objects.count()
    lines = [f"Bird {at},{species},Shingle Aviary,2026-01-02," for at in range(AT_ONCE + 1)]
    leads = sent(client, "\n".join(["name,species,exhibit,since,note", *lines]))
    job = Job.objects.get()
    assert leads == f"/jobs/{job.pk}/"
    over()
    answer = client.get(leads, follow=True)
    page = shown(answer)
    assert answer.redirect_chain[-1][0].startswith("/import/"), page
    assert f"{AT_ONCE + 1} birds came in" in page
    assert Bird.objects.count() == before + AT_ONCE + 1
    assert "import_draft" not in client.session, "what was brought in waits no longer to be"
    assert Job.objects.get().said == f"{AT_ONCE + 1} birds were brought in."
    again = "\n".join(["name,species,exhibit,since,note", *lines])
    client.post("/import/", {"file": SimpleUploadedFile("long.csv", again.encode())})
    assert client.get(answer.redirect_chain[-1][0]).status_code == 200
    assert "import_draft" in client.session, "a look at an earlier import drops nothing of a later one"


def test_a_long_list_is_told_in_the_background_and_a_second_time_tells_nothing(
    transactional_db: None, tmp_path: Path, settings: object
) -> None:
    settings.HOME = tmp_path  # type: ignore[attr-defined]  # pytest-django's settings
    wendlebrook.build()
    client = browser("maren")
    there = Weighing.objects.count()
    lines = [f"Kelp,2026-04-03,{100 + at / 10},in hand" for at in range(AT_ONCE + 1)]
    contents = "\n".join(["bird,date,weight,where", *lines])
    client.get(sent(client, contents))
    over()
    assert Weighing.objects.count() == there + AT_ONCE + 1
    client.post("/import/", {"file": SimpleUploadedFile("long.csv", contents.encode())})
    page = shown(client.get("/import/look/"))
    assert f"{AT_ONCE + 1} were told before" in page


def test_a_long_file_is_looked_at_in_the_background_too_and_shown_without_a_second_look(
    transactional_db: None, tmp_path: Path, settings: object
) -> None:
    settings.HOME = tmp_path  # type: ignore[attr-defined]  # pytest-django's settings
    wendlebrook.build()
    client = browser("maren")
    filler = "a remark of some length " * 8
    lines = [f"Nobody {at},2026-04-03,{100 + at},in hand,{filler}" for at in range(LONG // len(filler) + 10)]
    contents = "\n".join(["bird,date,weight,where,remark", *lines])
    client.post("/import/", {"file": SimpleUploadedFile("long.csv", contents.encode())})
    answer = client.get("/import/look/")
    job = Job.objects.get()
    assert answer["Location"] == f"/jobs/{job.pk}/"
    over()
    assert client.get(answer["Location"])["Location"] == "/import/look/?looked=1"
    page = shown(client.get("/import/look/?looked=1"))
    assert f"0 lines would be told, {len(lines)} are refused" in page
    # Somebody adds a bird that it names, and comes back: it is looked at anew, and shown when that is done.
    Bird.objects.filter(house_name="Kelp").update(house_name="Nobody 0")
    assert client.get("/import/look/").status_code == 302
    over()
    page = shown(client.get("/import/look/"))
    assert f"1 line would be told, {len(lines) - 1} are refused" in page
    # Said otherwise it is looked at anew as well.
    form = {f"column-{at}": field for at, field in enumerate(("bird", "on", "weight", "where", "scale"))}
    client.post("/import/look/", {**form, "what": "weights"})
    assert client.get("/import/look/").status_code == 302
    over()
    assert Job.objects.count() == 3
    client.post("/import/throw-away/")
