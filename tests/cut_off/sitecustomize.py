"""A machine whose name service fails and that reaches nothing but itself.

A folder on PYTHONPATH: Python reads this as it starts, so that a command and all its children are cut off.
A test cuts itself off by `cut_off`. Who asks for anything else is told of in the file that CUT_OFF_LOG names,
and fails.
"""

from __future__ import annotations

import ipaddress
import os
import socket
import traceback
from collections.abc import Callable
from typing import Any

ASKS_NAMES = ("getaddrinfo", "gethostbyname", "gethostbyname_ex", "getnameinfo")
REACHES = ("connect", "connect_ex", "sendto")


def is_here(address: Any) -> bool:
    """Whether an address is this machine itself, told by number or by a file's name."""
    host = address[0] if isinstance(address, tuple) else address
    if host is None or isinstance(host, bytes) or (isinstance(host, str) and host.startswith("/")):
        return True
    if host in ("", "localhost"):
        return True
    try:
        return ipaddress.ip_address(str(host)).is_loopback or ipaddress.ip_address(str(host)).is_unspecified
    except ValueError:
        return False


def cut_off(told: Callable[[str], None]) -> Callable[[], None]:
    """Cut this process off; what asks for another machine is told of and fails. Gives what undoes it."""
    kept: list[tuple[Any, str, Any]] = []

    def refuse(what: str, address: Any) -> None:
        last = traceback.extract_stack(limit=8)[0]
        told(f"{what} {address!r} by {last.filename}:{last.lineno}")
        raise socket.gaierror(socket.EAI_AGAIN, "cut off for a test")

    for name in ASKS_NAMES:
        real = getattr(socket, name)

        def ask(host: Any, *rest: Any, _real: Any = real, _name: str = name, **named: Any) -> Any:
            if not is_here(host):
                refuse(_name, host)
            return _real(host, *rest, **named)

        kept.append((socket, name, real))
        setattr(socket, name, ask)
    for name in REACHES:
        real = getattr(socket.socket, name)

        def reach(self: Any, *rest: Any, _real: Any = real, _name: str = name) -> Any:
            if self.family != socket.AF_UNIX and not is_here(rest[-1]):
                refuse(_name, rest[-1])
            return _real(self, *rest)

        kept.append((socket.socket, name, real))
        setattr(socket.socket, name, reach)

    def undo() -> None:
        for owner, name, real in kept:
            setattr(owner, name, real)

    return undo


def _write(line: str) -> None:
    with open(os.environ["CUT_OFF_LOG"], "a", encoding="utf-8") as log:
        log.write(f"{line}\n")


if "CUT_OFF_LOG" in os.environ:
    cut_off(_write)
