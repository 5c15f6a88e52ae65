"""Entry point of ``python -m printplan``."""

from __future__ import annotations

from printplan.cli.__main__ import run

if __name__ == "__main__":
    run()
