"""Run perflour as ``python -m perflour``."""

from perflour.cli import main

raise SystemExit(main())
