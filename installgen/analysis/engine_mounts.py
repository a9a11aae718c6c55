"""What each engine mount carries, at rest and with the propeller's torque; coupling alignment."""

from __future__ import annotations

from installgen.analysis.results import Book, Working
from installgen.calc.mounts import face_misalignment_ratio, mount_loads_kg
from installgen.spec.entry import Entry
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Mount
from installgen.units import Fraction, Mass


def mount_id(engine: FittedEngine, mount: Mount, what: str) -> str:
    """Id of a result about a mount: `load`, `largest-load`, `least-load`."""
    return f"{engine.name}.driveline.mount-{mount.id}.{what}"


def alignment_id(engine: FittedEngine) -> str:
    """Id of how far the coupling faces are from parallel."""
    return f"{engine.name}.driveline.alignment"


def analyse_mounts(book: Book, vessel: Vessel) -> None:
    """Enter the loads of every mount, and the alignment where readings are written."""
    for engine in vessel.engines:
        for mount in engine.entry.mounts:
            _load(book, engine, mount)
            for what in ("largest", "least"):
                _with_torque(book, engine, mount, what)
        if engine.entry.alignment is not None:
            _alignment(book, engine)


def _working(
    book: Book, engine: FittedEngine, result_id: str, name: str, formula: str, source: str
) -> Working:
    return book.working(
        result_id,
        name,
        "driveline",
        formula=formula,
        source=source,
        subject=f"{engine.name}.driveline",
        engine=engine.name,
    )


def _xy(w: Working, at: Entry | None, holder: Entry, field: str, name: str) -> tuple[float, float]:
    if at is None:
        w.spec(holder, field, name)  # raises, and names the field
    return w.spec(at, "x", f"{name}, ahead").m, w.spec(at, "y", f"{name}, to port").m


def _loads_kg(w: Working, engine: FittedEngine, torque_n_m: float) -> dict[str, float]:
    entry = engine.entry
    mass = w.spec(entry, "installed_mass", "engine and gear with their fluids").kg
    centre = _xy(w, entry.centre_of_gravity, entry, "centre_of_gravity", "their centre of gravity")
    points = [_xy(w, m.at, m, "at", f"mount {m.title}") for m in entry.mounts]
    loads = mount_loads_kg(mass, centre, points, torque_n_m)
    return {mount.id: load for mount, load in zip(entry.mounts, loads, strict=True)}


def _load(book: Book, engine: FittedEngine, mount: Mount) -> None:
    with _working(
        book,
        engine,
        mount_id(engine, mount, "load"),
        f"Load on mount {mount.title}, at rest",
        "N = a + b·x + c·y, with sum of N = m, sum of N·x = m·x of the centre, sum of N·y = m·y "
        "of the centre",
        "statics; mounts of one stiffness",
    ) as w:
        w.value = Mass(_loads_kg(w, engine, 0.0)[mount.id])


def _with_torque(book: Book, engine: FittedEngine, mount: Mount, what: str) -> None:
    with _working(
        book,
        engine,
        mount_id(engine, mount, f"{what}-load"),
        f"{what.capitalize()} load on mount {mount.title}, rated power",
        "as at rest, with the torque of the propeller shaft to either side",
        "statics; ahead and astern load opposite sides",
    ) as w:
        torque = w.result(f"{engine.name}.driveline.rated.shaft-torque", "shaft torque").n_m
        loads = [_loads_kg(w, engine, sign * torque)[mount.id] for sign in (1.0, -1.0)]
        del w.inputs[len(w.inputs) // 2 + 1 :]  # the second side takes the same inputs again
        w.value = Mass(max(loads) if what == "largest" else min(loads))
        if min(loads) < 0.0:
            w.note("The torque lifts this mount.")


def _alignment(book: Book, engine: FittedEngine) -> None:
    with _working(
        book,
        engine,
        alignment_id(engine),
        "Coupling faces out of parallel",
        "the greater of |top − bottom| and |port − starboard|, over the coupling's diameter",
        "geometry; read with feeler gauges (common practice)",
    ) as w:
        read = engine.entry.alignment
        sides = ("top", "bottom", "port", "starboard")
        gaps = [w.spec(read, side, f"gap at {side}").m for side in sides]
        diameter = w.spec(read, "coupling", "diameter of the coupling").m
        w.value = Fraction(face_misalignment_ratio(gaps, diameter))
        assert read is not None
        if read.afloat == "no":
            w.note("Read ashore: afloat the hull takes another shape, and it must be read again.")
        if read.loading:
            w.note(f"Loading: {read.loading}.")
