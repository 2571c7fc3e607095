"""What a phone is told: sealed as RFC 8291 says, signed as RFC 8292 says, handed over as RFC 8030 says."""

from __future__ import annotations

import http.server
import json
import stat
import threading
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.utils import timezone

from phones import Shift
from tarsus.actions.phone_news.own_key import own_key, vouched
from tarsus.actions.phone_news.posting import is_named
from tarsus.actions.phone_news.sealing import ROOM, octets, public_point, sealed, written
from tarsus.actions.phone_news.sending import send_phone_news
from tarsus.actions.settings.phone_news import ask_phone_news, end_phone_news
from tarsus.core.errors import WrongValue
from tarsus.core.words.letter import SUBJECT, on_a_phone
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

EXAMPLE = json.loads((Path(__file__).parents[1] / "published" / "push_message.json").read_text("utf-8"))


def private(number: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(octets(number), "big"), ec.SECP256R1())


def opened(body: bytes, phone: ec.EllipticCurvePrivateKey, auth: bytes) -> bytes:
    """What the phone reads, by RFC 8291 section 3.4 and RFC 8188 section 2, step by step."""
    salt, size, length = body[:16], int.from_bytes(body[16:20], "big"), body[20]
    point, record = body[21 : 21 + length], body[21 + length :]
    assert len(record) <= size
    shared = phone.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point))
    info = b"WebPush: info\x00" + public_point(phone.public_key()) + point
    secret = HKDF(algorithm=SHA256(), length=32, salt=auth, info=info).derive(shared)
    key, nonce = (
        HKDF(algorithm=SHA256(), length=long, salt=salt, info=b"Content-Encoding: " + word + b"\x00").derive(
            secret
        )
        for word, long in ((b"aes128gcm", 16), (b"nonce", 12))
    )
    text, mark, padding = AESGCM(key).decrypt(nonce, record, None).rpartition(b"\x02")
    assert (mark, padding) == (b"\x02", b"")
    return text


def claims_of(header: str) -> dict[str, Any]:
    """What a header claims, once its seal was found good (RFC 7515, appendix A.3)."""
    scheme, _, rest = header.partition(" ")
    assert scheme == "vapid"
    said = dict(one.strip().split("=", 1) for one in rest.split(","))
    signed, _, seal = said["t"].rpartition(".")
    r, s = octets(seal)[:32], octets(seal)[32:]
    der = encode_dss_signature(int.from_bytes(r, "big"), int.from_bytes(s, "big"))
    key = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), octets(said["k"]))
    key.verify(der, signed.encode(), ec.ECDSA(SHA256()))
    head, body = (json.loads(octets(part)) for part in signed.split("."))
    assert head == {"typ": "JWT", "alg": "ES256"}
    return dict(body)


def test_a_message_is_sealed_as_the_published_one() -> None:
    own, phone = private(EXAMPLE["server_private"]), private(EXAMPLE["phone_private"])
    key, auth, salt = (octets(EXAMPLE[name]) for name in ("phone_public", "auth", "salt"))
    assert written(public_point(own.public_key())) == EXAMPLE["server_public"]
    body = sealed(EXAMPLE["plaintext"].encode(), key, auth, own=own, salt=salt)
    assert written(body) == EXAMPLE["message"]
    assert opened(octets(EXAMPLE["message"]), phone, auth).decode() == EXAMPLE["plaintext"]
    assert len(sealed(b"x" * ROOM, key, auth)) == 4096, "what every push service takes (RFC 8030, 7.2)"


def test_a_park_shows_who_it_is_as_the_published_header_does(tmp_path: Path) -> None:
    printed = {"aud": "https://push.example.net", "exp": 1453523768, "sub": "mailto:push@example.com"}
    assert claims_of(EXAMPLE["vouched"]) == printed
    now, key = timezone.now(), own_key(tmp_path)
    header = vouched(key, "https://push.example.net", now, "mailto:push@example.com")
    claims = claims_of(header)
    assert claims | {"exp": 0} == printed | {"exp": 0}
    assert now.timestamp() < claims["exp"] <= now.timestamp() + 24 * 3600, "RFC 8292, section 2"
    with pytest.raises(InvalidSignature):
        claims_of(header.replace("t=ey", "t=eZ", 1))


def test_the_parks_key_is_made_once_and_for_its_own_account_only(tmp_path: Path) -> None:
    first = public_point(own_key(tmp_path).public_key())
    assert public_point(own_key(tmp_path).public_key()) == first
    assert stat.S_IMODE((tmp_path / "push-key").stat().st_mode) == 0o600
    assert [file.name for file in tmp_path.iterdir()] == ["push-key"]
    (tmp_path / "push-key").write_text("no key")
    with pytest.raises(WrongValue, match="phones are then asked anew"):
        own_key(tmp_path)


@pytest.mark.parametrize(
    ("endpoint", "named"),
    [
        ("https://push.example/send/1", True),
        ("https://eu.push.example/send/1", True),
        ("https://push.example.evil.example/1", False),
        ("https://notpush.example/1", False),
        ("http://push.example/1", False),
        ("https://push.example:8443/1", False),
        ("https://push.example@10.0.0.7/1", False),
        ("http://127.0.0.1:9000/1", True),
        ("http://127.0.0.1:9001/1", False),
        ("https://[::1/", False),
        ("file:///etc/passwd", False),
    ],
)
def test_nothing_is_posted_but_to_a_push_service_that_was_named(endpoint: str, named: bool) -> None:
    assert is_named(endpoint, ["push.example", "http://127.0.0.1:9000"]) is named
    assert not is_named(endpoint, [])


def test_a_phones_text_keeps_to_its_room_and_counts_what_it_leaves_out() -> None:
    parts = (("Search", [f"Kelp {n}, pied avocet, Шингл: 8 days" for n in range(200)]),)
    text = on_a_phone("Wendlebrook", "Friday 3 May", parts, 900)
    assert 700 < len(text.encode()) <= 900
    shown = text.count("pied avocet")
    assert text.endswith(f"and {200 - shown} more")


class Service(http.server.BaseHTTPRequestHandler):
    """A push service on this machine: keeps what it is handed, answers what it is told to."""

    def do_POST(self) -> None:
        server: Any = self.server
        body = self.rfile.read(int(self.headers["Content-Length"]))
        server.handed.append((self.path, dict(self.headers), body))
        self.send_response(server.answers.get(self.path, 201))
        self.send_header("Location", "http://127.0.0.1:1/elsewhere")
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, *_said: object) -> None:
        """Say nothing."""


@pytest.fixture
def service(settings: Any, tmp_path: Path) -> Iterator[Any]:
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Service) as listening:
        listening.handed, listening.answers = [], {}  # type: ignore[attr-defined]  # what it was given
        threading.Thread(target=listening.serve_forever, daemon=True).start()
        settings.PUSH_SERVICES = [f"http://127.0.0.1:{listening.server_address[1]}"]
        settings.HOME = tmp_path
        yield listening
        listening.shutdown()


PHONE, AUTH = private(EXAMPLE["phone_private"]), EXAMPLE["auth"]


def noon() -> datetime:
    """Noon of tomorrow: no hour's wait in a test goes past a midnight."""
    return (timezone.now() + timedelta(days=1)).replace(hour=12, minute=0, second=0, microsecond=0)


def ask(park: Wendlebrook, who: str, service: Any, path: str = "/tildas", **more: Any) -> int:
    chosen: dict[str, Any] = {
        "duties": False,
        "search": True,
        "backups": False,
        "key": EXAMPLE["phone_public"],
    }
    endpoint = f"http://127.0.0.1:{service.server_address[1]}{path}"
    own = {"name": "pocket", "endpoint": endpoint, "key": EXAMPLE["phone_public"], "auth": AUTH}
    chosen |= own | more
    return ask_phone_news(by=getattr(park.actors, who), **chosen)


def outcomes(now: datetime, **more: Any) -> dict[str, str]:
    return {one.person: one.outcome for one in send_phone_news(now, **more)}


@pytest.fixture
def lost(park: Wendlebrook, service: Any) -> Wendlebrook:
    """Kelp was last seen nine days ago; Tilda asked to be told on her phone."""
    at = noon() - timedelta(days=9)
    Shift(park).done("tilda", "sighting", at=at, exhibit=park.shingle, bird=park["Kelp"], how="by sight")
    ask(park, "tilda", service)
    return park


@pytest.mark.django_db
def test_a_phone_is_told_once_a_day_under_a_title_that_says_nothing(lost: Wendlebrook, service: Any) -> None:
    now = noon()
    assert outcomes(now, only_look=True) == {"Tilda, pocket": "not sent"}
    assert service.handed == []
    assert outcomes(now) == {"Tilda, pocket": "sent"}
    assert outcomes(now + timedelta(minutes=40)) == {"Tilda, pocket": "sent before"}
    ((path, headers, body),) = service.handed
    assert (path, headers["Content-Encoding"]) == ("/tildas", "aes128gcm")
    assert 0 < int(headers["TTL"]) <= 86_400
    claims = claims_of(headers["Authorization"])
    assert claims["aud"] == f"http://127.0.0.1:{service.server_address[1]}"
    title, _, text = opened(body, PHONE, octets(AUTH)).decode().partition("\n")
    assert title == SUBJECT
    assert "Kelp, pied avocet, Shingle Aviary: 8 days, limit 3" in text
    assert b"Kelp" not in body
    assert outcomes(now + timedelta(days=1)) == {"Tilda, pocket": "sent"}


@pytest.mark.django_db
def test_the_park_is_reached_at_its_mail_address_without_the_name_before_it(
    lost: Wendlebrook, service: Any, settings: Any
) -> None:
    settings.ADDRESS, settings.DEFAULT_FROM_EMAIL = "", "The park's Tarsus <tarsus@park.example>"
    assert outcomes(noon()) == {"Tilda, pocket": "sent"}
    ((_, headers, _),) = service.handed
    assert claims_of(headers["Authorization"])["sub"] == "mailto:tarsus@park.example"


@pytest.mark.django_db
@pytest.mark.parametrize("status", [404, 410])
def test_a_phone_that_its_push_service_knows_no_more_is_told_nothing_again(
    lost: Wendlebrook, service: Any, status: int
) -> None:
    service.answers["/tildas"] = status
    assert outcomes(noon()) == {"Tilda, pocket": "ended"}
    assert outcomes(noon() + timedelta(days=1)) == {}
    assert len(service.handed) == 1
    assert "knows this phone no more" in rows.PhoneNews.objects.get().ended_why


@pytest.mark.django_db
@pytest.mark.parametrize("status", [307, 429, 500])
def test_what_a_push_service_did_not_take_goes_with_the_next_run(
    lost: Wendlebrook, service: Any, status: int
) -> None:
    service.answers["/tildas"] = status
    (told,) = send_phone_news(noon())
    assert (told.outcome, told.why[:3]) == ("not sent", str(status))
    service.answers.clear()
    assert outcomes(noon()) == {"Tilda, pocket": "sent"}


@pytest.mark.django_db
def test_nothing_goes_out_once_the_installation_names_the_service_no_more(
    lost: Wendlebrook, service: Any, settings: Any
) -> None:
    settings.PUSH_SERVICES = ["push.example"]
    (told,) = send_phone_news(noon())
    assert (told.outcome, "TARSUS_PUSH_SERVICES" in told.why) == ("not sent", True)
    rows.Person.objects.filter(login="tilda").update(is_active=False)
    assert outcomes(noon()) == {}
    assert service.handed == []


@pytest.mark.django_db
def test_a_phone_tells_whoever_asked_on_it_last_and_nobody_ends_anothers(
    lost: Wendlebrook, service: Any
) -> None:
    mine = rows.PhoneNews.objects.get()
    assert ask(lost, "tilda", service, duties=True) == mine.pk, "asked again, it is one phone"
    ask(lost, "oswin", service, path="/oswins")
    with pytest.raises(WrongValue, match="none of yours"):
        end_phone_news(by=lost.actors.oswin, phone=mine.pk)
    ask(lost, "oswin", service)
    mine.refresh_from_db()
    assert mine.ended_why == "Somebody else asked on this phone."
    assert outcomes(noon()) == {"Oswin, pocket": "sent"}
    assert sorted(path for path, _, _ in service.handed) == ["/oswins", "/tildas"]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"search": False}, "something else is to be chosen"),
        ({"backups": True}, "administrator's to hear of"),
        ({"endpoint": "http://10.0.0.7/admin"}, r"\(http://10.0.0.7\) that TARSUS_PUSH_SERVICES does not"),
        ({"key": EXAMPLE["auth"]}, "no phone's key"),
        ({"key": "B" * 87}, "no phone's key"),
        ({"auth": "c2hvcnQ"}, "no phone's key"),
        ({"auth": "é" * 22}, "no phone's key"),
    ],
)
def test_what_cannot_be_told_is_refused(
    park: Wendlebrook, service: Any, wrong: dict[str, Any], said: str
) -> None:
    with pytest.raises(WrongValue, match=said):
        ask(park, "tilda", service, **wrong)
    assert not rows.PhoneNews.objects.exists()
