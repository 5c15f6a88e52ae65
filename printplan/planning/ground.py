"""What is the same for all parts of a job."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from printplan.climate import Surroundings
    from printplan.filament import FilamentTable
    from printplan.job.schema import Job
    from printplan.process import Prices, Printer
    from printplan.vehicle import DriveVehicle, VehicleLoads

__all__ = ["Ground"]


@dataclass(frozen=True, kw_only=True)
class Ground:
    """A job's tables, looked up and checked: what every part is planned on."""

    job: Job
    table: FilamentTable
    surroundings: Surroundings
    vehicle: DriveVehicle | None
    loads: VehicleLoads | None
    printers: tuple[Printer, ...]
    prices: Prices
