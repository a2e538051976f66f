"""The compiled reader of YAML (tools/compiled/), where it could be made when perflour was installed: docs/performance.md."""

import os

from perflour.typed import Any

try:
    import _perflour_reader as _module  # type: ignore[import-not-found]
except ImportError:
    _module = None

#: None where there is none.
MODULE: Any = _module
#: Whether it reads what it can; else all is read by pyyaml.
IS_USED = bool(MODULE) and not os.environ.get("PERFLOUR_PLAIN_READER")
