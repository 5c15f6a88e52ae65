"""Entry point of the ``printplan`` script and of ``python -m printplan.cli``."""

from __future__ import annotations

import io
import sys

from printplan.cli import main


def run() -> None:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that can't show a letter gets a question mark, not a traceback.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    sys.exit(main())


if __name__ == "__main__":
    run()
