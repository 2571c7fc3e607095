"""The park's own certificate authority, and the certificate that phones meet.

A phone gives a page no service worker and no secure ids on plain http, and refuses a certificate that signs
itself; an authority that was installed on the phone once is accepted. The authority here can vouch for
nothing but the park's own names and private addresses (name constraints), so a phone that trusts it risks
little.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_YEARS: Final = 10
# Phones refuse server certificates of longer life: 825 days for authorities a person installed (from
# memory: Apple's
# requirements for trusted certificates). A year leaves room.
CERTIFICATE_DAYS: Final = 365
RENEW_DAYS: Final = 45
# RFC 1918 and RFC 4193 private networks, RFC 3927 link-local, and the machine itself.
PRIVATE_NETWORKS: Final = tuple(
    ipaddress.ip_network(network)
    for network in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "169.254.0.0/16",
        "127.0.0.0/8",
        "fc00::/7",
    )
)
Address = ipaddress.IPv4Address | ipaddress.IPv6Address


@dataclass(frozen=True)
class ParkCertificate:
    """Files of the certificate in use: `chain` and `key` for the server, `authority` for the phones."""

    chain: Path
    key: Path
    authority: Path
    expires: dt.datetime
    fingerprint: str


def park_certificate(
    folder: Path, name: str, addresses: tuple[Address, ...], now: dt.datetime
) -> ParkCertificate:
    """Give the certificate for a host name and addresses, made or renewed only when it has to be.

    Args:
        folder: where keys and certificates are kept; made readable to its owner only.
        name: the host name that phones use.
        addresses: the machine's own addresses on the park's network; only private ones are vouched for.
        now: the present, aware.

    Returns:
        The files. The authority lasts ten years and is made once: phones that trust it need nothing new.

    Raises:
        ValueError: `name` is not the one the kept authority may vouch for.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    private = tuple(a for a in addresses if any(a in n for n in PRIVATE_NETWORKS if n.version == a.version))
    authority, authority_key = _kept_authority(folder, name, now)
    chain, key = folder / "server.pem", folder / "server-key.pem"
    kept = x509.load_pem_x509_certificate(chain.read_bytes()) if chain.exists() and key.exists() else None
    if kept is None or not _serves(kept, name, private, authority, now):
        kept = _issue(folder, name, private, authority, authority_key, now)
    told = kept.fingerprint(hashes.SHA256()).hex(":").upper()
    return ParkCertificate(chain, key, folder / "authority.crt", kept.not_valid_after_utc, told)


def _kept_authority(
    folder: Path, name: str, now: dt.datetime
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    path, key_path = folder / "authority.crt", folder / "authority-key.pem"
    if path.exists() and key_path.exists():
        certificate = x509.load_der_x509_certificate(path.read_bytes())
        key = serialization.load_pem_private_key(key_path.read_bytes(), password=None)
        assert isinstance(key, ec.EllipticCurvePrivateKey)
        allowed = certificate.extensions.get_extension_for_class(
            x509.NameConstraints
        ).value.permitted_subtrees
        names = [n.value for n in allowed or () if isinstance(n, x509.DNSName)]
        if name not in names:
            raise ValueError(
                f"the authority in {folder} vouches for {names[0]} and not for {name}; serve with"
                f" --name {names[0]}, or move the folder away and install the new authority on every phone"
            )
        return certificate, key
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, f"Tarsus, {name}"),
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Made by Tarsus for this park alone"),
        ]
    )
    permitted: list[x509.GeneralName] = [x509.DNSName(name), *(x509.IPAddress(n) for n in PRIVATE_NETWORKS)]
    builder = (
        _builder(subject, subject, key.public_key(), now, dt.timedelta(days=365 * AUTHORITY_YEARS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_key_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )
    certificate = builder.sign(key, hashes.SHA256())
    _write_key(key_path, key)
    path.write_bytes(certificate.public_bytes(serialization.Encoding.DER))
    return certificate, key


def _issue(
    folder: Path,
    name: str,
    addresses: tuple[Address, ...],
    authority: x509.Certificate,
    authority_key: ec.EllipticCurvePrivateKey,
    now: dt.datetime,
) -> x509.Certificate:
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    names: list[x509.GeneralName] = [x509.DNSName(name), *(x509.IPAddress(a) for a in addresses)]
    issuer_key = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority_key.public_key())
    certificate = (
        _builder(subject, authority.subject, key.public_key(), now, dt.timedelta(days=CERTIFICATE_DAYS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_key_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(issuer_key, critical=False)
        .sign(authority_key, hashes.SHA256())
    )
    _write_key(folder / "server-key.pem", key)
    pem = serialization.Encoding.PEM
    (folder / "server.pem").write_bytes(certificate.public_bytes(pem) + authority.public_bytes(pem))
    return certificate


def _builder(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePublicKey,
    now: dt.datetime,
    life: dt.timedelta,
) -> x509.CertificateBuilder:
    # A day back: a phone whose clock is behind must not find a certificate of tomorrow.
    begins = now - dt.timedelta(days=1)
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(begins + life)
    )


def _key_usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs,
        key_cert_sign=signs,
        crl_sign=signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _serves(
    kept: x509.Certificate,
    name: str,
    addresses: tuple[Address, ...],
    authority: x509.Certificate,
    now: dt.datetime,
) -> bool:
    """Whether a kept certificate still does: the same authority, all names in it, not soon over."""
    if kept.issuer != authority.subject or kept.not_valid_after_utc - now < dt.timedelta(days=RENEW_DAYS):
        return False
    names = kept.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return name in names.get_values_for_type(x509.DNSName) and set(addresses) <= set(
        names.get_values_for_type(x509.IPAddress)
    )


def _write_key(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    """Write a key that only its owner can ever have read: the file is closed to others before it has
    contents.
    """
    path.unlink(missing_ok=True)
    path.touch(mode=0o600)
    path.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        )
    )
