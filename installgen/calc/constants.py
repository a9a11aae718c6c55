"""Constants of nature and of definition; nothing here belongs in a sheet, a table or a standard."""

STANDARD_GRAVITY_M_PER_S2 = 9.80665
"""Standard acceleration of free fall (ISO 80000-3)."""

STANDARD_ATMOSPHERE_PA = 101_325.0
"""Standard atmosphere (ISO 2533)."""

ZERO_CELSIUS_K = 273.15
"""0 C in kelvins (ISO 80000-5)."""

DRY_AIR_GAS_CONSTANT_J_PER_KG_K = 287.05287
"""Specific gas constant of dry air (ISO 2533)."""

WATER_TO_DRY_AIR_MOLAR_MASS_RATIO = 0.62198
"""Molar mass of water over that of dry air (ASHRAE Handbook Fundamentals, psychrometrics)."""

BOLTZMANN_J_PER_K = 1.380649e-23
"""Boltzmann constant, exact by definition (BIPM, The International System of Units, 9th ed.)."""

ELEMENTARY_CHARGE_C = 1.602176634e-19
"""Elementary charge, exact by definition (BIPM, The International System of Units, 9th ed.)."""
