"""The park's own authority, checked by a library's certificate verifier (pyca/cryptography, RFC 5280)."""

from __future__ import annotations

import datetime as dt
import ipaddress
import stat
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.x509 import DNSName, IPAddress
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from tarsus.cli.park_network.authority import ParkCertificate, park_certificate

NOW = dt.datetime(2026, 6, 11, 5, 0, tzinfo=dt.UTC)
HERE = (ipaddress.ip_address("192.168.7.20"),)


def made(folder: Path, name: str = "tarsus.example", now: dt.datetime = NOW) -> ParkCertificate:
    return park_certificate(folder / "tls", name, HERE, now)


def verified(certificate: ParkCertificate, subject: DNSName | IPAddress, now: dt.datetime = NOW) -> bool:
    """Whether a client that trusts the authority accepts the server under this name."""
    leaf = x509.load_pem_x509_certificates(certificate.chain.read_bytes())[0]
    authority = x509.load_der_x509_certificate(certificate.authority.read_bytes())
    verifier = PolicyBuilder().store(Store([authority])).time(now).build_server_verifier(subject)
    try:
        verifier.verify(leaf, [])
    except VerificationError:
        return False
    return True


def test_a_phone_that_trusts_the_authority_accepts_the_name_and_the_address(tmp_path: Path) -> None:
    certificate = made(tmp_path)
    assert verified(certificate, DNSName("tarsus.example"))
    assert verified(certificate, IPAddress(HERE[0]))
    assert not verified(certificate, DNSName("elsewhere.example"))


def test_a_public_address_is_not_vouched_for(tmp_path: Path) -> None:
    public = ipaddress.ip_address("203.0.113.9")  # RFC 5737, for documentation
    certificate = park_certificate(tmp_path / "tls", "tarsus.example", (*HERE, public), NOW)
    leaf = x509.load_pem_x509_certificates(certificate.chain.read_bytes())[0]
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(IPAddress) == list(HERE)


def test_the_authority_may_vouch_for_nothing_but_this_park(tmp_path: Path) -> None:
    authority = x509.load_der_x509_certificate(made(tmp_path).authority.read_bytes())
    limits = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    allowed = limits.value.permitted_subtrees
    assert allowed is not None
    assert [n.value for n in allowed if isinstance(n, DNSName)] == ["tarsus.example"]
    assert all(n.value.is_private for n in allowed if isinstance(n, IPAddress))
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints).value
    assert (basic.ca, basic.path_length) == (True, 0)


def test_keys_are_for_their_owner_alone(tmp_path: Path) -> None:
    certificate = made(tmp_path)
    keys = [certificate.key, certificate.key.with_name("authority-key.pem")]
    assert [stat.S_IMODE(key.stat().st_mode) for key in keys] == [0o600, 0o600]


def test_a_second_start_changes_nothing(tmp_path: Path) -> None:
    first = made(tmp_path)
    before = first.chain.read_bytes(), first.authority.read_bytes()
    again = made(tmp_path, now=NOW + dt.timedelta(days=30))
    assert (again.chain.read_bytes(), again.authority.read_bytes()) == before


def test_a_certificate_near_its_end_is_renewed_under_the_same_authority(tmp_path: Path) -> None:
    first = made(tmp_path)
    before = first.chain.read_bytes(), first.authority.read_bytes()
    later = first.expires - dt.timedelta(days=20)
    renewed = made(tmp_path, now=later)
    assert renewed.chain.read_bytes() != before[0]
    assert renewed.authority.read_bytes() == before[1]
    assert verified(renewed, DNSName("tarsus.example"), later)


def test_a_new_address_is_added_to_the_certificate(tmp_path: Path) -> None:
    made(tmp_path)
    moved = ipaddress.ip_address("10.1.2.3")
    certificate = park_certificate(tmp_path / "tls", "tarsus.example", (moved,), NOW)
    assert verified(certificate, IPAddress(moved))


def test_another_name_is_refused_with_what_to_do(tmp_path: Path) -> None:
    made(tmp_path)
    with pytest.raises(ValueError, match=r"vouches for tarsus\.example and not for birds\.example"):
        made(tmp_path, name="birds.example")
