"""`python -m coach` is the same program as `coach`."""

from __future__ import annotations

import sys

from coach.cli.main import main

__all__ = ["main"]

if __name__ == "__main__":
    sys.exit(main())
