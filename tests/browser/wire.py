"""The wire between a phone and the server: it can be cut, and it can carry what a real one does at its worst.

A plain TCP relay in front of the live server. Cut, nothing listens at the address: the network is really off.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable
from contextlib import suppress

PIECE = 65536
TROUBLE = {
    "500": b"HTTP/1.1 500 Internal Server Error\r\nContent-Length: 0\r\nConnection: close\r\n\r\n",
    "422": b"HTTP/1.1 422 Unprocessable Content\r\nContent-Type: application/json\r\nContent-Length: 15\r\n"
    b'Connection: close\r\n\r\n{"reason": "x"}',
}


class Wire:
    """Relays one address to the server. `trouble` names what becomes of each sending of facts.

    `fails_on` are words of a sending with which the server fails, whatever else stands in it.
    `slow` is how many seconds the server takes for whatever is no file of the build; `hurry` ends the waits.
    """

    def __init__(self, server: tuple[str, int]) -> None:
        self.server = server
        self.trouble = ""
        self.fails_on = b""
        self.times = 0
        self.slow = 0.0
        self.hurry = threading.Event()
        self.over = False
        self.open: list[socket.socket] = []
        self.port = 0
        self.mend()

    def mend(self) -> None:
        """Listen, at the same port as before."""
        self.listening = socket.create_server(("127.0.0.1", self.port), reuse_port=False)
        self.port = self.listening.getsockname()[1]
        threading.Thread(target=self._accept, args=(self.listening,), daemon=True).start()

    def cut(self) -> None:
        """Nothing listens any more, and every connection breaks."""
        with suppress(OSError):
            self.listening.shutdown(socket.SHUT_RDWR)
        self.listening.close()
        for one in self.open:
            with suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)
            one.close()
        self.open.clear()

    def end(self) -> None:
        """The test is over: nothing that still waits here goes on to the server, and so into another test."""
        self.over = True
        self.hurry.set()
        self.cut()

    @property
    def url(self) -> str:
        return f"http://localhost:{self.port}"

    def _accept(self, listening: socket.socket) -> None:
        while True:
            try:
                phone, _ = listening.accept()
            except OSError:
                return
            self.open.append(phone)
            threading.Thread(target=self._carry, args=(phone,), daemon=True).start()

    def _carry(self, phone: socket.socket) -> None:
        """One request a connection: simple, and every fault hits exactly one sending."""
        with suppress(OSError, ValueError):
            request = _whole(phone)
            if not request:
                return
            told = request.startswith(b"POST /facts ")
            trouble = self.trouble if told else ""
            if told and self.fails_on and self.fails_on in request:
                trouble = "500"
            self.times += bool(trouble)
            if trouble in TROUBLE:
                phone.sendall(TROUBLE[trouble])
            elif trouble == "hangs":
                return  # the connection stays open, and nothing ever comes
            else:
                if self.slow and b" /static/" not in request[:200]:
                    self.hurry.wait(self.slow)
                if self.over:
                    return
                answer = self._asked(request)
                if trouble != "drops after writing":
                    phone.sendall(answer)
        with suppress(OSError):
            phone.shutdown(socket.SHUT_RDWR)
        phone.close()

    def _asked(self, request: bytes) -> bytes:
        with socket.create_connection(self.server) as server:
            head, _, body = request.partition(b"\r\n\r\n")
            lines = [line for line in head.split(b"\r\n") if not line.lower().startswith(b"connection:")]
            server.sendall(b"\r\n".join([*lines, b"Connection: close"]) + b"\r\n\r\n" + body)
            return _until(server, lambda piece: not piece)


def _until(one: socket.socket, done: Callable[[bytes], bool]) -> bytes:
    got = b""
    while True:
        piece = one.recv(PIECE)
        got += piece
        if done(piece):
            return got


def _whole(phone: socket.socket) -> bytes:
    """A request with all of its body."""
    got = b""
    while b"\r\n\r\n" not in got:
        piece = phone.recv(PIECE)
        if not piece:
            return b""
        got += piece
    head, _, body = got.partition(b"\r\n\r\n")
    length = next(
        (
            int(line.split(b":")[1])
            for line in head.split(b"\r\n")
            if line.lower().startswith(b"content-length:")
        ),
        0,
    )
    while len(body) < length:
        piece = phone.recv(PIECE)
        if not piece:
            return b""
        body += piece
        got += piece
    return got
