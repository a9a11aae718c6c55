"""What the yard cuts for one vessel: finished and cut length of each hose and conductor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from installgen.analysis.circuits import LaidLine
from installgen.analysis.dc_model import calc_size
from installgen.analysis.results import Book
from installgen.calc.conductors import area_mm2
from installgen.calc.cutting import bought_m, cut_m
from installgen.errors import OutOfTable
from installgen.spec.electrical import Conductor
from installgen.spec.entry import Choose, known
from installgen.spec.piping import Hose
from installgen.spec.standard_spec import CutAllowance, StandardSpec
from installgen.spec.vessel import Vessel
from installgen.spec.vessel_spec import ExhaustPiece
from installgen.units import ConductorSize, Length

CutKind = Literal["hose", "fuel-hose", "exhaust-hose", "conductor"]
PieceSystem = Literal[
    "raw-water", "exhaust", "coolant", "oil", "crankcase-vent", "fuel", "electrical"
]

FUEL_HOSES = ("fuel-a1", "fuel-a2")
ROUNDING = 1.0 + 1e-9
SAME_M = 5e-5
"""Bores and studs that differ by less are one size, written in two systems [m]."""


@dataclass(frozen=True)
class CutPiece:
    """One hose or conductor that the yard cuts.

    id: as the pages anchor it; label: as it is marked, or called
    material: kind of hose, empty where it is not known, or insulation and colour of a conductor
    size: its bore or conductor size; nothing where it is not known
    proposed: whether nobody has written what was fitted
    finished: as run; cut: what is cut for it; nothing where either is not known
    allowance: what it was cut by; nothing where the standard says nothing of such a piece
    clamps: hose clamps for both ends
    """

    id: str
    label: str
    of: CutKind
    system: PieceSystem
    material: str
    size: ConductorSize | Length | None
    proposed: bool
    finished: Length | None
    cut: Length | None
    allowance: CutAllowance | None
    place: str | None
    clamps: int
    entry: Conductor | Hose | ExhaustPiece | LaidLine


@dataclass(frozen=True)
class CutTotal:
    """All pieces of one material and size together, and whether the yard keeps it.

    length: what is cut; bought: with off-cuts; nothing where a piece has no length
    kept: whether it stands in the yard's stock
    """

    of: CutKind
    material: str
    size: ConductorSize | Length | None
    pieces: tuple[CutPiece, ...]
    length: Length | None
    bought: Length | None
    kept: bool


def cut_list(vessel: Vessel, book: Book) -> tuple[CutPiece, ...]:
    """Every hose and conductor that the vessel spec lists; those of an engine come with it."""
    return (*_raw_water(vessel), *_exhaust(vessel), *_circuits(vessel), *_conductors(vessel, book))


def cut_totals(vessel: Vessel, pieces: tuple[CutPiece, ...]) -> tuple[CutTotal, ...]:
    """The pieces by material and size, hoses before conductors, small before large."""
    groups: dict[tuple[str, str, ConductorSize | Length | None], list[CutPiece]] = {}
    for piece in pieces:
        groups.setdefault((piece.of, piece.material, piece.size), []).append(piece)
    totals = [_total(vessel.standard, tuple(group)) for group in groups.values()]
    return tuple(sorted(totals, key=_order))


def _order(total: CutTotal) -> tuple[bool, str, str, float]:
    size = total.size
    amount = size.m if isinstance(size, Length) else _area(size) or 0.0
    return total.of == "conductor", total.of, total.material, amount


def _total(standard: StandardSpec, group: tuple[CutPiece, ...]) -> CutTotal:
    first = group[0]
    cuts = [piece.cut for piece in group]
    length, bought = None, None
    if all(cut is not None for cut in cuts) and first.allowance is not None:
        total_m = sum(cut.m for cut in cuts if cut is not None)
        length = Length(total_m)
        bought = Length(bought_m(total_m, first.allowance.waste.ratio))
    return CutTotal(
        first.of, first.material, first.size, group, length, bought, _kept(standard, first)
    )


def _kept(standard: StandardSpec, piece: CutPiece) -> bool:
    if isinstance(piece.entry, Conductor):
        rated = known(piece.entry.insulation)
        return any(
            row.size == piece.size and (rated is None or row.insulation.c >= rated.c)
            for row in standard.stock.cables
        )
    return any(
        row.kind == piece.material
        and any(
            isinstance(piece.size, Length) and abs(bore.m - piece.size.m) < 5e-5
            for bore in row.bores
        )
        for row in standard.stock.hoses
    )


def allowance_for(
    standard: StandardSpec, of: CutKind, size: ConductorSize | Length | None
) -> CutAllowance | None:
    """What the standard adds to such a piece: of conductors, the smallest row that takes its size.

    Nothing where no row takes it, or where the size of a conductor is not known.
    """
    rows = [row for row in standard.cut_allowances if row.of == of]
    if of != "conductor":
        return rows[0] if rows else None
    area = _area(size)
    if area is None:
        return None
    limited = [(limit, row) for row in rows if (limit := _area(row.up_to)) is not None]
    for limit, row in sorted(limited, key=lambda pair: pair[0]):
        if area <= limit * ROUNDING:
            return row
    return next((row for row in rows if row.up_to is None), None)


def _area(size: ConductorSize | Length | None) -> float | None:
    """The copper area of a conductor size [mm2]; nothing where no table has it."""
    if not isinstance(size, ConductorSize):
        return None
    try:
        return area_mm2(calc_size(size))
    except OutOfTable:
        return None


def _cut(
    standard: StandardSpec,
    of: CutKind,
    size: ConductorSize | Length | None,
    finished: Length | None,
) -> tuple[Length | None, CutAllowance | None]:
    row = allowance_for(standard, of, size)
    if row is None or finished is None:
        return None, row
    slack = row.slack.ratio if row.slack is not None else 0.0
    return Length(cut_m(finished.m, slack, row.each_end.m)), row


# ---- the pieces ---------------------------------------------------------------------------------


def _raw_water(vessel: Vessel) -> Iterator[CutPiece]:
    for water in vessel.spec.raw_water:
        engine = vessel.engine(water.engine)
        prefix = f"{engine.name}.raw-water"
        for piece in water.route:
            if piece.hose is not None:
                yield _hose(vessel, f"{prefix}.{_key(piece.hose)}", piece.hose)
            if piece.branch is not None:
                for inner in piece.branch.route:
                    if inner.hose is not None:
                        name = f"{prefix}.{piece.branch.id}.{_key(inner.hose)}"
                        yield _hose(vessel, name, inner.hose)


def _key(hose: Hose) -> str:
    """What a route calls a hose; one without a name by the line it stands in."""
    where = hose.where()
    return hose.id or (f"hose-{where.line}" if where is not None else "hose")


def _hose(vessel: Vessel, name: str, hose: Hose) -> CutPiece:
    bore, finished = known(hose.bore), known(hose.length)
    cut, row = _cut(vessel.standard, "hose", bore, finished)
    label = hose.name or _key(hose)
    clamps = {"single": 2, "double": 4}.get(known(hose.clamps) or "", 0)
    return CutPiece(
        name, label, "hose", "raw-water", known(hose.kind) or "", bore, False, finished, cut, row,
        hose.place, clamps, hose,
    )  # fmt: skip


def _exhaust(vessel: Vessel) -> Iterator[CutPiece]:
    for exhaust in vessel.spec.exhaust:
        engine = vessel.engine(exhaust.engine)
        for number, piece in enumerate(exhaust.pieces, start=1):
            if piece.kind not in ("hose", "riser"):
                continue
            bore, finished = known(piece.bore), known(piece.length)
            cut, row = _cut(vessel.standard, "exhaust-hose", bore, finished)
            clamps = {"single": 2, "double": 4}.get(piece.clamps or "", 0)
            yield CutPiece(
                f"{engine.name}.exhaust.{piece.id or number}",
                piece.name or piece.id or f"{piece.kind} {number}",
                "exhaust-hose", "exhaust", piece.hose or "", bore, False,
                finished, cut, row, engine.entry.place, clamps, piece,
            )  # fmt: skip


def _circuits(vessel: Vessel) -> Iterator[CutPiece]:
    spec = vessel.spec
    own: tuple[tuple[PieceSystem, object], ...] = (
        ("coolant", spec.coolant),
        ("fuel", spec.fuel),
        ("oil", spec.oil),
        ("crankcase-vent", spec.crankcase_vent),
    )
    for system, circuit in own:
        for line in getattr(circuit, "lines", []):
            if line.hose is None:
                continue
            hose = known(line.hose) or ""
            fuel = hose in FUEL_HOSES or (not hose and system == "fuel")
            of: CutKind = "fuel-hose" if fuel else "hose"
            bore, finished = known(line.bore), known(line.length)
            cut, row = _cut(vessel.standard, of, bore, finished)
            yield CutPiece(
                line.id, line.id, of, system, hose, bore, False, finished, cut, row,
                line.place, 0, LaidLine(line.id, line, line.from_, line.to, None),
            )  # fmt: skip


def _conductors(vessel: Vessel, book: Book) -> Iterator[CutPiece]:
    electrical = vessel.spec.electrical
    for wire in electrical.conductors if electrical is not None else []:
        size, proposed = _size(book, wire)
        finished = known(wire.length)
        cut, row = _cut(vessel.standard, "conductor", size, finished)
        rated = known(wire.insulation)
        material = ", ".join(
            part for part in (f"{rated.c:g} °C" if rated is not None else "", wire.colour) if part
        )
        yield CutPiece(
            wire.label, wire.label, "conductor", "electrical", material, size, proposed,
            finished, cut, row, wire.place, 0, wire,
        )  # fmt: skip


def _size(book: Book, wire: Conductor) -> tuple[ConductorSize | None, bool]:
    """The size as fitted, or as proposed."""
    if not isinstance(wire.size, Choose):
        return known(wire.size), False
    proposed = book.get(f"conductor.{wire.label}.proposed-size")
    value = proposed.value if proposed is not None else None
    return (ConductorSize.parse(str(value)) if value is not None else None), True
