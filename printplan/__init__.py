"""printplan: from a mesh and a vehicle to a printed part that may carry a person.

Data takes one road, and imports point one way along it: job file → measured part, filament,
climate, vehicle → checks → verdict → plan → sheet. Each room's ``__init__`` says what comes in
and what goes out; nothing is imported here, so that ``printplan --help`` answers at once.
"""

from __future__ import annotations

__all__ = ["__version__"]


def __getattr__(name: str) -> str:
    """Look the version up only when somebody asks (reading metadata costs milliseconds)."""
    if name == "__version__":
        from importlib.metadata import version

        return version("printplan")
    raise AttributeError(name)
