"""What goes to a phone, sealed so that no push service can read it (RFC 8291, RFC 8188)."""

from __future__ import annotations

import base64
import binascii
import os
import struct
from typing import Final

from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

RECORD: Final = 4096
ROOM: Final = RECORD - 103
"""Bytes of text that fit into the 4096 that every push service takes (RFC 8030, section 7.2): the others are
salt, sizes, our key, the end mark and the seal (RFC 8291, section 4)."""
_POINT: Final = 65
_AUTH: Final = 16


def sealed(
    text: bytes,
    key: bytes,
    auth: bytes,
    *,
    own: ec.EllipticCurvePrivateKey | None = None,
    salt: bytes | None = None,
) -> bytes:
    """Seal a text for one phone, as the body of a push message.

    Args:
        text: at most `ROOM` bytes.
        key: the phone's public key, an uncompressed point of P-256.
        auth: the 16 bytes that the phone shares with whoever may tell it.
        own: a key for this message alone; made by chance where none is given.
        salt: 16 bytes for this message alone; by chance where none are given.

    Raises:
        ValueError: `key` is no point of the curve.

    Source:
        RFC 8291, sections 3 and 4; its example is `tests/published/push_message.json`.
    """
    assert len(text) <= ROOM
    own = own or ec.generate_private_key(ec.SECP256R1())
    salt = salt or os.urandom(16)
    point = public_point(own.public_key())
    shared = own.exchange(ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), key))
    secret = _derived(shared, auth, b"WebPush: info\0" + key + point, 32)
    content_key = _derived(secret, salt, b"Content-Encoding: aes128gcm\0", 16)
    nonce = _derived(secret, salt, b"Content-Encoding: nonce\0", 12)
    # 2 marks the end of the last record, and there is one record only (RFC 8188, section 2).
    record = AESGCM(content_key).encrypt(nonce, text + b"\x02", None)
    return salt + struct.pack("!LB", RECORD, len(point)) + point + record


def public_point(key: ec.EllipticCurvePublicKey) -> bytes:
    """A public key as browsers speak of it: 65 bytes."""
    return key.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def written(octets: bytes) -> str:
    """Octets in the letters of addresses, without padding (RFC 7515, section 2)."""
    return base64.urlsafe_b64encode(octets).rstrip(b"=").decode()


def octets(text: str) -> bytes:
    """The octets that `written` wrote.

    Raises:
        ValueError: it wrote no such thing.
    """
    try:
        return base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except binascii.Error as reason:
        raise ValueError(str(reason)) from None


def is_of_a_phone(key: str, auth: str) -> bool:
    """Whether these are a phone's public key and its shared secret."""
    try:
        point, secret = octets(key), octets(auth)
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
    except ValueError:
        return False
    return len(point) == _POINT and len(secret) == _AUTH


def _derived(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    return HKDF(algorithm=SHA256(), length=length, salt=salt, info=info).derive(secret)
