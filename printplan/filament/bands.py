"""Plausible limits of material values: a slipped decimal or a wrong row must not get in.

The limits are wide; they catch typing errors, they don't judge quality. They are
[memory: general knowledge of these plastics], the glass transitions also [source: the handbook
ranges in the table itself]. One published paper gives 137 °C for the glass transition of PLA; that
value must be refused here.
"""

from __future__ import annotations

__all__ = ["DIRECTED", "GLASS_TRANSITION_BANDS", "PROPERTY_BANDS", "TIMED", "band_of"]

#: Quantities that mean nothing without a direction to the layers.
DIRECTED = ("tensile_strength", "tensile_modulus")
#: Quantities that mean nothing without a time under load.
TIMED = ("creep_modulus", "creep_modulus_fraction")

#: Polymer → lowest and highest believable glass transition, dry. [°C]
GLASS_TRANSITION_BANDS: dict[str, tuple[float, float]] = {
    "PLA": (45.0, 70.0),
    "PETG": (65.0, 90.0),
    "ABS": (85.0, 120.0),
    "ASA": (90.0, 115.0),
    "PC": (100.0, 155.0),
    "PA": (35.0, 85.0),
    "TPU": (-60.0, 0.0),
}

#: Polymer → lowest and highest believable density, fibres and minerals included. [g/cm³]
DENSITY_BANDS: dict[str, tuple[float, float]] = {
    "PLA": (1.15, 1.50),
    "PETG": (1.20, 1.45),
    "ABS": (1.00, 1.25),
    "ASA": (1.00, 1.25),
    "PC": (1.10, 1.40),
    "PA": (1.00, 1.45),
    "TPU": (1.05, 1.35),
}

#: Glass transition of nylons that have taken up water. [°C]
_MOIST_NYLON_BAND = (-25.0, 40.0)

#: Property → lowest, highest believable value, and the unit it must have.
PROPERTY_BANDS: dict[str, tuple[float, float, str]] = {
    "density": (0.9, 1.6, "g/cm3"),
    "tensile_strength": (3.0, 200.0, "MPa"),
    "tensile_modulus": (10.0, 20000.0, "MPa"),
    "compressive_strength": (10.0, 250.0, "MPa"),
    "shear_strength": (5.0, 120.0, "MPa"),
    "creep_modulus": (100.0, 15000.0, "MPa"),
    "fatigue_strength": (1.0, 120.0, "MPa"),
    "z_xy_strength_ratio": (0.05, 1.0, "1"),
    "compressive_to_tensile_ratio": (0.5, 2.0, "1"),
    "shear_to_tensile_ratio": (0.05, 0.8, "1"),
    "allowable_sustained_fraction": (0.02, 0.5, "1"),
    "fatigue_fraction_1e5": (0.05, 0.7, "1"),
    "fatigue_fraction_1e6": (0.03, 0.6, "1"),
    "conditioned_strength_factor": (0.2, 1.0, "1"),
    "conditioned_modulus_factor": (0.1, 1.0, "1"),
    "creep_modulus_fraction": (0.1, 1.0, "1"),
    "conditioned_shear_modulus_factor": (0.1, 1.0, "1"),
    "compressive_orientation_effect": (0.3, 1.2, "1"),
    "printed_to_moulded_ratio": (0.2, 1.1, "1"),
    "filament_moisture_effect": (0.2, 1.1, "1"),
    "friction_steel": (0.05, 1.5, "1"),
    "friction_self": (0.05, 1.5, "1"),
    "moisture_swelling": (0.0, 5.0, "%"),
    "anneal_shrink_length": (0.0, 30.0, "%"),
    "anneal_shrink_width": (0.0, 30.0, "%"),
    "anneal_swell_thickness": (0.0, 40.0, "%"),
    "anneal_temperature": (60.0, 180.0, "°C"),
    "anneal_time": (0.1, 24.0, "h"),
    "poisson_ratio": (0.2, 0.5, "1"),
    "elongation_break": (0.1, 1000.0, "%"),
    "glass_transition": (-60.0, 170.0, "°C"),
    "hdt_0p45": (40.0, 260.0, "°C"),
    "hdt_1p8": (35.0, 260.0, "°C"),
    "vicat_b50": (40.0, 260.0, "°C"),
    "max_service_temperature": (40.0, 200.0, "°C"),
    "melting_temperature": (120.0, 280.0, "°C"),
    "cte": (5.0, 300.0, "1e-6/K"),
    "thermal_conductivity": (0.08, 1.5, "W/(m K)"),
    "specific_heat": (800.0, 2500.0, "J/(kg K)"),
    "moisture_eq_23C_50RH": (0.0, 5.0, "%"),
    "moisture_saturation": (0.0, 12.0, "%"),
    "creep_linear_limit": (0.1, 0.9, "1"),
    "annealed_strength_factor": (0.3, 2.0, "1"),
    "uv_resistance": (1.0, 4.0, "ordinal"),
    "nozzle_temperature": (170.0, 350.0, "°C"),
    "bed_temperature": (0.0, 150.0, "°C"),
    "bed_adhesion": (0.0, 2.0, "ordinal"),
    "enclosure": (0.0, 2.0, "ordinal"),
    "hardened_nozzle": (0.0, 1.0, "yes/no"),
    "drying_temperature": (35.0, 130.0, "°C"),
    "drying_time": (1.0, 48.0, "h"),
    "drying_needed": (0.0, 2.0, "ordinal"),
    "price": (5.0, 400.0, "EUR/kg"),
    "max_volumetric_flow": (0.5, 40.0, "mm3/s"),
}


def band_of(
    quantity: str, polymer: str, state: str | None
) -> tuple[float, float, str, bool] | None:
    """Return the believable range of a quantity, its unit, and whether it is the polymer's own.

    None for a quantity without a band. A polymer "other" gets the band of all plastics together.
    """
    if quantity not in PROPERTY_BANDS:
        return None
    lowest, highest, unit = PROPERTY_BANDS[quantity]
    narrow = None
    if quantity == "glass_transition":
        moist = state == "conditioned" and polymer == "PA"
        narrow = _MOIST_NYLON_BAND if moist else GLASS_TRANSITION_BANDS.get(polymer)
    elif quantity == "density":
        narrow = DENSITY_BANDS.get(polymer)
    if narrow is None:
        return lowest, highest, unit, False
    return *narrow, unit, True
