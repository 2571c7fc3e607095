"""What a phone is handed over plain http: a page and the authority, nothing else."""

from __future__ import annotations

import urllib.error
import urllib.request
from collections.abc import Iterator

import pytest

from tarsus.cli.park_network.invitation import Invitation, invite
from tarsus.cli.park_network.serving_park import origin, own_addresses, say_where
from tarsus.cli.park_network.welcome import welcome_page, welcome_style


@pytest.fixture
def address() -> Iterator[str]:
    page = welcome_page("tarsus.example", "https://tarsus.example:8443", "https://192.168.7.20:8443", "AB:CD")
    server = invite(Invitation(page, welcome_style(), b"certificate"), "127.0.0.1", 0)
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()


def test_the_page_tells_both_kinds_of_phone_what_to_do(address: str) -> None:
    page = urllib.request.urlopen(f"{address}/").read().decode()
    for said in (
        "iPhone",
        "Android",
        "AB:CD",
        "https://tarsus.example:8443",
        "/authority.crt",
        "TARSUS_TLS=1",
    ):
        assert said in page


def test_the_authority_comes_as_a_certificate(address: str) -> None:
    answer = urllib.request.urlopen(f"{address}/authority.crt")
    assert answer.headers["Content-Type"] == "application/x-x509-ca-cert"
    assert answer.read() == b"certificate"


def test_nothing_else_is_handed_out(address: str) -> None:
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(f"{address}/register.sqlite3")
    assert refused.value.code == 404
    refused.value.close()


def test_names_are_written_safely_into_the_page() -> None:
    assert "<b>x</b>.example" not in welcome_page("<b>x</b>.example", "https://x", "https://y", "AB")


def test_the_usual_port_is_left_out_of_the_address() -> None:
    assert origin("tarsus.example", 443) == "https://tarsus.example"
    assert origin("tarsus.example", 8443) == "https://tarsus.example:8443"


def test_the_machine_always_has_its_own_address() -> None:
    assert "127.0.0.1" in map(str, own_addresses())


def test_the_terminal_shows_where_to_go(capsys: pytest.CaptureFixture[str]) -> None:
    say_where("tarsus.example", own_addresses()[-1], 8443, 8080, "AB:CD")
    said = capsys.readouterr().out
    assert "http://127.0.0.1:8080/" in said
    assert "AB:CD" in said
    assert "▄" in said or "█" in said  # a QR code
