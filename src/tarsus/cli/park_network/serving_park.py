"""`tarsus serve --park`: Tarsus over TLS on the park's network, with an invitation for phones."""

from __future__ import annotations

import datetime as dt
import ipaddress
import socket
from pathlib import Path

from tarsus.cli.inviting import first_address, say_first_address
from tarsus.cli.park_network.authority import Address, ParkCertificate, park_certificate
from tarsus.cli.park_network.invitation import Invitation, invite
from tarsus.cli.park_network.welcome import welcome_page, welcome_style
from tarsus.core.errors import MalformedInput


def own_addresses() -> tuple[Address, ...]:
    """The machine's addresses on its networks, the one it would be reached at first."""
    found: list[Address] = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # Nothing is sent: connecting a datagram socket only asks the routing table which address would
            # be used.
            probe.connect(("10.255.255.255", 9))
            found.append(ipaddress.ip_address(probe.getsockname()[0]))
        except OSError:
            pass  # no network at all: the machine itself is left
    for _, _, _, _, at in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
        found.append(ipaddress.ip_address(at[0]))
    found.append(ipaddress.ip_address("127.0.0.1"))
    return tuple(dict.fromkeys(found))


def origin(name: str, port: int) -> str:
    """Where phones find Tarsus."""
    return f"https://{name}" if port == 443 else f"https://{name}:{port}"


def certificate_in(folder: Path, name: str, addresses: tuple[Address, ...]) -> ParkCertificate:
    """The park's certificate, made where it is missing.

    Raises:
        MalformedInput: the kept authority is another name's.
    """
    try:
        return park_certificate(folder, name, addresses, dt.datetime.now(dt.UTC))
    except ValueError as reason:
        raise MalformedInput("--name", str(reason)) from None


def authority_fingerprint(authority: bytes) -> str:
    """SHA-256 of the authority's certificate, as phones show it."""
    from hashlib import sha256

    return sha256(authority).hexdigest().upper()


def prepare_invitation(
    certificate: ParkCertificate, name: str, address: Address, port: int
) -> tuple[Invitation, str]:
    """The invitation and the authority's fingerprint, in pairs with colons."""
    authority = certificate.authority.read_bytes()
    whole = authority_fingerprint(authority)
    prints = ":".join(whole[i : i + 2] for i in range(0, len(whole), 2))
    page = welcome_page(name, origin(name, port), origin(str(address), port), prints)
    return Invitation(page, welcome_style(), authority), prints


def say_where(name: str, address: Address, port: int, plain_port: int, prints: str) -> None:
    """Print the invitation's address as a QR code, what to do, and how to do without."""
    import segno

    link = f"http://{address}:{plain_port}/"
    segno.make(link, error="m").terminal(compact=True)
    print(f"Phones: scan this, or open {link} once. It says how to trust this park's authority.")
    print(f"The authority's SHA-256 fingerprint: {prints}")
    print(f"Then Tarsus is at {origin(name, port)}, if the park's network knows the name, or else at")
    print(f"{origin(str(address), port)}. Stay with one of the two.")
    print("With a real certificate: put a proxy that holds one in front and start plain `tarsus serve`")
    print("behind it with TARSUS_TLS=1, TARSUS_HOSTS and TARSUS_ORIGINS set; see docs/running/phones.md.")


def serve_park(name: str, port: int, plain_port: int, folder: Path, host: str = "0.0.0.0") -> int:
    """Serve Tarsus over TLS, and the invitation over plain http, until stopped.

    Args:
        name: the host name that phones use; the certificate is made for it and for this machine's addresses.
        port: of Tarsus.
        plain_port: of the invitation.
        folder: where the authority is kept.
        host: the address to listen at.
    """
    from tarsus.cli.serving import refuse_taken_port, serve_register

    addresses = own_addresses()
    certificate = certificate_in(folder, name, addresses)
    refuse_taken_port(host, port)
    refuse_taken_port(host, plain_port)
    invitation, prints = prepare_invitation(certificate, name, addresses[0], port)
    inviting = invite(invitation, host, plain_port)
    say_where(name, addresses[0], port, plain_port, prints)
    if address := first_address(origin(str(addresses[0]), port)):
        say_first_address(address)
    try:
        return serve_register(host, port, certificate=certificate.chain, key=certificate.key)
    finally:
        inviting.shutdown()
