"""A small plain server that gives a phone the welcome page and the authority, and nothing else."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass(frozen=True)
class Invitation:
    """What is handed out over plain http: a page, and a certificate that is public by nature."""

    page: str
    style: str
    authority: bytes


def invite(invitation: Invitation, host: str, port: int) -> ThreadingHTTPServer:
    """Start handing the invitation out, in the background; `shutdown()` on the answer ends it.

    Raises:
        OSError: the port is taken.
    """
    answers = {
        "/": ("text/html; charset=utf-8", invitation.page.encode()),
        "/welcome.css": ("text/css; charset=utf-8", invitation.style.encode()),
        # Phones recognise a certificate by this type and offer to install it.
        "/authority.crt": ("application/x-x509-ca-cert", invitation.authority),
    }

    class Hand(BaseHTTPRequestHandler):
        server_version = "Tarsus"
        sys_version = ""

        def do_GET(self) -> None:
            known = answers.get(self.path.split("?")[0])
            self.send_response(200 if known else 404)
            kind, body = known or (
                "text/plain; charset=utf-8",
                b"Only the invitation is here: open / instead.\n",
            )
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(body)))
            self.send_header("Cache-Control", "no-store")
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing: the terminal is for the keeper's QR code."""

    server = ThreadingHTTPServer((host, port), Hand)
    threading.Thread(target=server.serve_forever, name="invitation", daemon=True).start()
    return server
