"""Run perflour as ``python -m perflour``."""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  # `python3.9 -m` asks no installer; nothing more of us can be read there
    found = ".".join(map(str, sys.version_info[:2]))
    sys.stderr.write(f"perflour: needs Python 3.11 or newer, this is {found}; run a newer one\n")
    raise SystemExit(2)

from perflour.cli import main

raise SystemExit(main())
