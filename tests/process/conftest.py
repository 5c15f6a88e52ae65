"""Shapes and settings that the process tests share."""

from __future__ import annotations

import pytest

from printplan.process import FilamentData, Prices, load_printer_classes


@pytest.fixture(scope="session")
def filament():
    """Round figures in the range of common filaments [common practice]."""
    return FilamentData(
        name="test thread",
        density_g_cm3=1.25,
        max_flow_mm3_s=10.0,
        nozzle_degc=230.0,
        bed_degc=70.0,
        price_per_kg=20.0,
    )


@pytest.fixture(scope="session")
def classes():
    return list(load_printer_classes().values())


@pytest.fixture(scope="session")
def slow(classes):
    return classes[0]


@pytest.fixture(scope="session")
def prices():
    return Prices(waste_fraction=0.0)
