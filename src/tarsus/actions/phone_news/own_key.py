"""The key by which push services know this park (RFC 8292), made once and kept beside the register."""

from __future__ import annotations

import contextlib
import json
import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)

from tarsus.actions.phone_news.sealing import public_point, written
from tarsus.core.errors import WrongValue

FILE: Final = "push-key"
HOLDS: Final = timedelta(hours=12)
"""How long a push service may take our word for it: RFC 8292, section 2 allows 24 hours."""


def own_key(home: Path) -> ec.EllipticCurvePrivateKey:
    """The park's key; made where there is none, for this account's eyes only.

    Raises:
        WrongValue: the file is there and holds none.
    """
    path = home / FILE
    if not path.exists():
        _make(path)
    try:
        key = load_pem_private_key(path.read_bytes(), password=None)
    except (ValueError, TypeError):
        key = None
    if not (isinstance(key, ec.EllipticCurvePrivateKey) and isinstance(key.curve, ec.SECP256R1)):
        raise WrongValue(
            str(path), "holds no key; put it back from a safe copy, or remove it (phones are then asked anew)"
        )
    return key


def vouched(key: ec.EllipticCurvePrivateKey, service: str, now: datetime, contact: str = "") -> str:
    """The header by which a park shows a push service who it is.

    Args:
        key: the park's.
        service: the origin of the push service, ``https://…``.
        now: the moment.
        contact: an address of the park, for the push service's people; may be empty.

    Source:
        RFC 8292, sections 2 and 3; RFC 7515 for its form.
    """
    claims: dict[str, object] = {"aud": service, "exp": int((now + HOLDS).timestamp())}
    if contact:
        claims["sub"] = contact
    signed = f"{_json({'typ': 'JWT', 'alg': 'ES256'})}.{_json(claims)}"
    r, s = decode_dss_signature(key.sign(signed.encode(), ec.ECDSA(SHA256())))
    seal = written(r.to_bytes(32, "big") + s.to_bytes(32, "big"))
    return f"vapid t={signed}.{seal}, k={written(public_point(key.public_key()))}"


def _json(value: object) -> str:
    return written(json.dumps(value, separators=(",", ":")).encode())


def _make(path: Path) -> None:
    """Write a new key whole or not at all; of two that make one at a time, the first one's counts."""
    key = ec.generate_private_key(ec.SECP256R1())
    fresh = path.with_name(f"{path.name}.{os.getpid()}.part")
    with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as made:
        made.write(key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
        made.flush()
        os.fsync(made.fileno())
    try:
        with contextlib.suppress(FileExistsError):
            path.hardlink_to(fresh)
    finally:
        fresh.unlink()
