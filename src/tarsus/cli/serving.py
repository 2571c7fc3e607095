"""The web server that one command starts: one worker and four blocking threads, which suits SQLite best."""

from __future__ import annotations

import contextlib
import socket
from pathlib import Path

from tarsus.core.errors import WrongValue


def refuse_taken_port(host: str, port: int) -> None:
    """Find out before anything else is done whether the port can be had.

    Raises:
        WrongValue: something else answers there, or this person may not use it.
    """
    if not 0 < port < 65536:
        raise WrongValue("--port", f"{port} is no port; choose one from 1024 to 65535")
    with contextlib.closing(socket.socket(socket.AF_INET, socket.SOCK_STREAM)) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as reason:
            said = (reason.strerror or "not available").lower()
            raise WrongValue("--port", f"{port} cannot be had ({said}); choose another") from None


def serve_register(host: str, port: int, *, certificate: Path | None = None, key: Path | None = None) -> int:
    """Serve the register until it is told to stop; over TLS where a certificate and its key are given.

    While it is served nobody can put another register in its place. It is read through first: what is
    recorded in a damaged one may be lost.

    Raises:
        RegisterDamaged: its file is damaged.
    """
    from django.conf import settings
    from django.db import connections
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    from tarsus.actions.safekeeping.holding import held
    from tarsus.cli.register import refuse_damaged_register

    refuse_damaged_register()
    server = Granian(
        "tarsus.server.wsgi:application",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        # More threads make it worse: they wait for one another at the database's single writer.
        blocking_threads=4,
        websockets=False,
        log_level=LogLevels.warning,
        ssl_cert=certificate,
        ssl_key=key,
    )
    connections.close_all()  # a worker that is forked inherits no open register
    with held(Path(settings.HOME), alone=False):
        server.serve()
    return 0
