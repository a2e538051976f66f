"""SHA-256 for short runs: Python's own, since hashlib loads all of OpenSSL for it (docs/performance.md)."""

import sys
from collections.abc import Callable

from perflour.typed import Any

_OWN = "_sha2" if sys.version_info >= (3, 12) else "_sha256"


def sha256_hex(content: bytes) -> str:
    """The digest in hexadecimal digits."""
    digits: str = _sha256()(content).hexdigest()
    return digits


def _sha256() -> Callable[[bytes], Any]:
    try:
        made: Callable[[bytes], Any] = __import__(_OWN).sha256
    except ImportError:  # another Python may lack it
        import hashlib

        return hashlib.sha256
    return made
