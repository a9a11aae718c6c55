"""Write the fluid property tables anew: `python -m installgen.tables.build_fluid_tables`.

CoolProp takes two seconds to import, so the package ships what it prints and interpolates. Run this
after a new CoolProp, and look at the differences before keeping them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

ATMOSPHERE_PA = 101_325.0
ZERO_C_K = 273.15
JUST_ABOVE_ZERO_C_K = 273.150001  # the vapour pressure of seawater is not given at 0 C itself
SALINITIES = (0.01, 0.02, 0.03, 0.035, 0.04)
GLYCOLS = {"ethylene": "MEG", "propylene": "MPG"}
Property = Callable[..., float]


def _table(head: Iterable[str], columns: str, rows: Iterable[Iterable[object]]) -> str:
    lines = [f"# {line}" for line in head]
    lines.append(columns)
    lines += [",".join(f"{v:.7g}" if isinstance(v, float) else str(v) for v in r) for r in rows]
    return "\n".join(lines) + "\n"


def _seawater(prop: Property, version: str) -> str:
    def rows() -> Iterable[Iterable[object]]:
        for salinity in SALINITIES:
            fluid = f"INCOMP::MITSW[{salinity}]"
            for celsius in range(0, 101, 2):
                at = ("T", celsius + ZERO_C_K, "P", ATMOSPHERE_PA, fluid)
                boil = prop("P", "T", celsius + JUST_ABOVE_ZERO_C_K, "Q", 0, fluid)
                yield salinity, celsius, *(prop(name, *at) for name in "DCVL"), boil

    return _table(
        (
            "title: Properties of seawater by temperature and salinity",
            f"source: CoolProp {version}, INCOMP::MITSW (Sharqawy, Lienhard and Zubair, "
            "Thermophysical properties of seawater, 2010)",
            "mark: RUN",
            "key: salinity_ratio, temperature_c",
            "note: At 101 325 Pa; salinity as kg of salt per kg of seawater.",
        ),
        "salinity_ratio,temperature_c,density_kg_per_m3,specific_heat_j_per_kg_k,"
        "viscosity_pa_s,conductivity_w_per_m_k,vapour_pressure_pa",
        rows(),
    )


def _fresh_water(prop: Property, version: str) -> str:
    def rows() -> Iterable[Iterable[object]]:
        for celsius in (0.01, *(float(c) for c in range(2, 99, 2)), 99.0):
            kelvin = celsius + ZERO_C_K
            at = ("T", kelvin, "P", ATMOSPHERE_PA, "Water")
            steam = prop("H", "T", kelvin, "Q", 1, "Water")
            water = prop("H", "T", kelvin, "Q", 0, "Water")
            boil = prop("P", "T", kelvin, "Q", 0, "Water")
            yield celsius, *(prop(name, *at) for name in "DCVL"), boil, steam - water

    return _table(
        (
            "title: Properties of fresh water by temperature",
            f"source: CoolProp {version}, Water (IAPWS-95 and the IAPWS transport formulations)",
            "mark: RUN",
            "key: temperature_c",
            "note: Liquid at 101 325 Pa; vapour pressure and latent heat at saturation.",
        ),
        "temperature_c,density_kg_per_m3,specific_heat_j_per_kg_k,viscosity_pa_s,"
        "conductivity_w_per_m_k,vapour_pressure_pa,latent_heat_j_per_kg",
        rows(),
    )


def _dry_air(prop: Property, version: str) -> str:
    def rows() -> Iterable[Iterable[object]]:
        for celsius in (*range(-40, 200, 20), *range(200, 1001, 50)):
            at = ("T", celsius + ZERO_C_K, "P", ATMOSPHERE_PA, "Air")
            yield celsius, *(prop(name, *at) for name in "CVL")

    return _table(
        (
            "title: Properties of dry air by temperature",
            f"source: CoolProp {version}, Air (Lemmon and others, 2000 and 2004)",
            "mark: RUN",
            "key: temperature_c",
            "note: At 101 325 Pa.",
        ),
        "temperature_c,specific_heat_j_per_kg_k,viscosity_pa_s,conductivity_w_per_m_k",
        rows(),
    )


def _glycol_solution(prop: Property, version: str) -> str:
    def rows() -> Iterable[Iterable[object]]:
        for glycol, code in GLYCOLS.items():
            for tenth in range(7):
                fluid = f"INCOMP::{code}[{tenth / 10}]"
                freezing = prop("T_freeze", "T", 300, "P", ATMOSPHERE_PA, fluid) - ZERO_C_K
                for celsius in range(-50, 101, 5):
                    if celsius >= freezing:
                        at = ("T", celsius + ZERO_C_K, "P", ATMOSPHERE_PA, fluid)
                        yield glycol, tenth / 10, celsius, *(prop(name, *at) for name in "DCVL")

    return _table(
        (
            "title: Properties of glycol and water by mass of glycol and temperature",
            f"source: CoolProp {version}, INCOMP::MEG and INCOMP::MPG "
            "(Melinder, Properties of secondary working fluids, 2010)",
            "mark: RUN",
            "key: glycol, mass_ratio, temperature_c",
            "note: Pure glycol without inhibitors; kg of glycol per kg of mixture.",
        ),
        "glycol,mass_ratio,temperature_c,density_kg_per_m3,specific_heat_j_per_kg_k,"
        "viscosity_pa_s,conductivity_w_per_m_k",
        rows(),
    )


def _glycol_solution_freezing(prop: Property, version: str) -> str:
    def rows() -> Iterable[Iterable[object]]:
        for glycol, code in GLYCOLS.items():
            yield glycol, 0.0, 0.0
            for percent in range(2, 61, 2):
                fluid = f"INCOMP::{code}[{percent / 100}]"
                kelvin = prop("T_freeze", "T", 300, "P", ATMOSPHERE_PA, fluid)
                yield glycol, percent / 100, kelvin - ZERO_C_K

    return _table(
        (
            "title: Freezing point of glycol and water by mass of glycol",
            f"source: CoolProp {version}, INCOMP::MEG and INCOMP::MPG "
            "(Melinder, Properties of secondary working fluids, 2010)",
            "mark: RUN",
            "key: glycol, mass_ratio",
            "note: Pure glycol without inhibitors: optimistic for a bought antifreeze.",
        ),
        "glycol,mass_ratio,freezing_c",
        rows(),
    )


def fluid_tables() -> dict[str, str]:
    """The text of each generated table by its name without `.csv`."""
    import CoolProp
    from CoolProp.CoolProp import PropsSI

    return {
        name: write(PropsSI, CoolProp.__version__)
        for name, write in (
            ("seawater", _seawater),
            ("fresh_water", _fresh_water),
            ("dry_air", _dry_air),
            ("glycol_solution", _glycol_solution),
            ("glycol_solution_freezing", _glycol_solution_freezing),
        )
    }


def main() -> None:
    """Write every generated table beside this module."""
    for name, text in fluid_tables().items():
        (Path(__file__).parent / f"{name}.csv").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
