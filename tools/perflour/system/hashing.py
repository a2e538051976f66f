"""Digests for short runs: Python's own, since hashlib loads all of OpenSSL for them (docs/performance.md)."""

import sys
from collections.abc import Callable

from perflour.typed import Any

_OWN = {"sha1": "_sha1", "sha256": "_sha2" if sys.version_info >= (3, 12) else "_sha256"}


def sha256_hex(content: bytes) -> str:
    """The digest in hexadecimal digits."""
    digits: str = _made("sha256")(content).hexdigest()
    return digits


def sha1_hex(content: bytes) -> str:
    """What git names most contents by."""
    digits: str = _made("sha1")(content).hexdigest()
    return digits


def _made(name: str) -> Callable[[bytes], Any]:
    try:
        made: Callable[[bytes], Any] = getattr(__import__(_OWN[name]), name)
    except ImportError:  # another Python may lack it
        import hashlib

        made = getattr(hashlib, name)
    return made
