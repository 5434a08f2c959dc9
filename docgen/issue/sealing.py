"""
A file and its key > what lies on the disk, and back, proved against its digest.

Apart because this is the format: MAGIC, nonce, ciphertext with its tag (AES-256-GCM, bound to MAGIC and digest).
"""

from __future__ import annotations

import hashlib
import secrets

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from docgen.issue.keys import NONCE_BYTES

MAGIC = b"DOCGENF\x01"
"""What an encrypted file begins with: a word and the version of the format."""
_TAG_BYTES = 16
_LEAST = len(MAGIC) + NONCE_BYTES + _TAG_BYTES


def seal(content: bytes, digest: str, key: bytes) -> bytes:
    """Encrypt a file with its own key."""
    nonce = secrets.token_bytes(NONCE_BYTES)
    return MAGIC + nonce + AESGCM(key).encrypt(nonce, content, MAGIC + digest.encode())


def is_sealed(content: bytes) -> bool:
    """Tell whether a file looks encrypted."""
    return content.startswith(MAGIC) and len(content) >= _LEAST


def proved(content: bytes, digest: str, key: bytes | None) -> bytes | None:
    """Open a file (without a key it is its own content); None if it is not what was kept under its digest."""
    plain = content if key is None else _opened(content, digest, key)
    return plain if plain is not None and hashlib.sha256(plain).hexdigest() == digest else None


def tag_of(key: bytes) -> str:
    """Tell the files of one digest apart by their keys, without telling anything of a key."""
    return hashlib.sha256(b"docgen tag of a file key" + key).hexdigest()[:8]


def _opened(content: bytes, digest: str, key: bytes) -> bytes | None:
    if not is_sealed(content):
        return None
    nonce, rest = content[len(MAGIC) :][:NONCE_BYTES], content[len(MAGIC) + NONCE_BYTES :]
    try:
        return AESGCM(key).decrypt(nonce, rest, MAGIC + digest.encode())
    except InvalidTag:
        return None
