"""Pressure lost in the runs of an exhaust, piece by piece."""

from __future__ import annotations

from collections.abc import Sequence

from installgen.analysis.results import Missing, MissingInput, TableOrigin, Working
from installgen.calc.exhaust import (
    WetGas,
    dry_run_loss_pa,
    wet_run_loss_pa,
    wet_run_most_loss_pa,
)
from installgen.calc.fittings import bend_loss_coefficient, fitting_loss_coefficient
from installgen.spec.vessel_spec import Exhaust, ExhaustPiece
from installgen.tables.fluids import roughness

DRY_PIPE = "commercial steel"


def dry_run_pa(
    w: Working, exhaust: Exhaust, pieces: Sequence[ExhaustPiece], gas_kg_per_s: float, hot_c: float
) -> float:
    """Loss of the pieces that the dry gas takes [Pa].

    w: takes their sizes; raises MissingInput where one is not there
    """
    if not pieces:
        place = exhaust.path_to("dry")
        raise MissingInput(
            f"`{place}` is not given",
            (Missing(place, exhaust.where("dry"), "pieces from the engine to the injection"),),
        )
    row = roughness().row(kind=DRY_PIPE)
    origin = TableOrigin("pipe_roughness", DRY_PIPE, row.source, row.mark.value)
    w.table("roughness of the dry pipe", f"{row.roughness_mm:g} mm", origin)
    total = 0.0
    for number, piece in enumerate(pieces, start=1):
        name = piece.name or f"{piece.kind} {number}"
        w.spec(piece, "kind", f"kind of piece {number}")
        if piece.kind == "muffler":
            total += float(w.spec(piece, "loss", f"loss of {name}").pa)
            continue
        bore = w.spec(piece, "bore", f"bore of {name}").m
        if piece.kind == "outlet":
            factor, length = fitting_loss_coefficient("exit", bore), 0.0
        else:
            factor = _bends(w, piece, bore)
            length = w.spec(piece, "length", f"length of {name}").m
        total += dry_run_loss_pa(
            gas_kg_per_s, hot_c, bore, length, row.roughness_mm / 1000.0, factor
        )
    return total


def wet_run_pa(
    w: Working,
    pieces: Sequence[ExhaustPiece],
    mixed: WetGas,
    water_density_kg_per_m3: float,
    gas_ratio: float,
) -> float:
    """Loss of the pieces behind the injection [Pa].

    w: takes their sizes; raises MissingInput where one is not there
    gas_ratio: gas flow over that at rated, for the stated loss of a muffler
    """
    if not pieces:
        raise MissingInput("the exhaust has no pieces behind the injection")
    rough = w.assume("hose_roughness", "roughness of the hose").m
    slip = w.assume("exhaust_slip", "velocity of gas to that of water, falling").ratio
    total = 0.0
    for number, piece in enumerate(pieces, start=1):
        name = piece.name or f"{piece.kind} {number}"
        w.spec(piece, "kind", f"kind of piece {number}")
        if piece.kind == "muffler":
            total += float(w.spec(piece, "loss", f"loss of {name} at rated").pa) * gas_ratio**2
            continue
        bore = w.spec(piece, "bore", f"bore of {name}").m
        if piece.kind == "outlet":
            factor = fitting_loss_coefficient("exit", bore)
            total += wet_run_loss_pa(mixed, water_density_kg_per_m3, slip, bore, 0.0, rough, factor)
            continue
        factor = _bends(w, piece, bore)
        length = w.spec(piece, "length", f"length of {name}").m
        if piece.kind == "riser":
            total += wet_run_most_loss_pa(
                mixed, water_density_kg_per_m3, bore, length, rough, factor
            )
        else:
            total += wet_run_loss_pa(
                mixed, water_density_kg_per_m3, slip, bore, length, rough, factor
            )
    return total


def _bends(w: Working, piece: ExhaustPiece, bore_m: float) -> float:
    if not piece.bends:
        return 0.0
    bends = int(w.spec(piece, "bends", f"bends in {piece.name or piece.kind}"))
    radius = w.assume("bend_radius", "bend radius to bore").ratio
    return bends * bend_loss_coefficient(bore_m, 90.0, radius)
