"""Passwords (argon2id) and the secrets that are kept only as hashes."""

from __future__ import annotations

import hashlib
import secrets
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

CODE_ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Nothing in it is taken for something else on a small screen: no 0 O, 1 I L, U beside V."""

CODE_LENGTH = 8
TOKEN_BYTES = 32

# The library's defaults follow RFC 9106's low-memory recommendation (section 4).
_hasher = PasswordHasher()


def hash_password(password: str) -> str:
    """What is stored of a password."""
    return _hasher.hash(password)


def password_fits(password: str, password_hash: str | None) -> bool:
    """Takes as long for somebody who does not exist, so that logins cannot be tried out."""
    try:
        _hasher.verify(password_hash or _nobodys_hash(), password)
    except (VerificationError, InvalidHashError):
        return False
    return password_hash is not None


def new_enrol_code() -> str:
    """A short code, to be read aloud and typed within minutes."""
    return "".join(secrets.choice(CODE_ALPHABET) for _ in range(CODE_LENGTH))


def plain_code(typed: str) -> str:
    """Without the gaps and dashes that people put in, in capitals."""
    return "".join(c for c in typed.upper() if c.isascii() and c.isalnum())


def new_token() -> str:
    """What a phone shows at every call."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def hash_secret(secret: str) -> str:
    """SHA-256: enough for secrets of 39 bits that live minutes, and of 256 bits that live a year."""
    return hashlib.sha256(secret.encode()).hexdigest()


@cache
def _nobodys_hash() -> str:
    return _hasher.hash(secrets.token_hex())
