"""Entry point of the ``printplan`` script and of ``python -m printplan.cli``."""

from __future__ import annotations

import sys

from printplan.cli import main


def run() -> None:
    """Run the command line and leave with its exit code."""
    sys.exit(main())


if __name__ == "__main__":
    run()
