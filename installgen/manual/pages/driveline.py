"""Driveline, controls and belt drive."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.engine_mounts import alignment_id, mount_id
from installgen.manual.blocks import Block, Heading, Line, Row, Stack, joined
from installgen.manual.pages.common import columns, facts, figures, figures_by_speed, table
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.manual.ways import isolator_lines
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import Gear

GAPS = ("top", "bottom", "port", "starboard")


def driveline_page(m: VesselManual) -> Iterator[Block]:
    """Nothing where there is no gear, no propeller, no control cable and no belt."""
    geared = [
        e for e in m.vessel.engines if e.entry.gear is not None or e.entry.propeller is not None
    ]
    belts = [engine for engine in m.vessel.engines if engine.sheet.belts]
    cables = bool(m.vessel.spec.controls) or any(e.sheet.controls for e in m.vessel.engines)
    if not geared and not belts and not cables:
        return
    if geared or belts:
        yield m.caution("warning", "driveline.rotating_caution", more=isolator_lines(m))
    for engine in geared:
        yield from _gear(m, engine)
    together = [result for result in m.results("driveline") if not result.engine]
    yield from figures(m, together, m.text("driveline.together_caption"))
    if cables:
        yield m.heading("driveline.controls_heading", "controls")
        yield from _controls(m)
    if belts:
        yield m.heading("driveline.belts_heading", "belts")
        for engine in belts:
            yield from _belts(m, engine)


def _gear(m: VesselManual, engine: FittedEngine) -> Iterator[Block]:
    gear, propeller = engine.entry.gear, engine.entry.propeller
    there = [*(["driveline.gear"] if gear else []), *(["driveline.propeller"] if propeller else [])]
    words = m.listed(*there)
    if m.several:
        words = f"{words} · {m.engine_name(engine)}"
    yield Heading(words, f"{engine.name}.gear" if m.several else "gear")
    if gear is not None:
        yield from facts(m, *_gear_facts(m, engine, gear))
    if propeller is not None:
        yield from facts(
            m,
            ("propeller_hand", m.choice("hands", propeller.hand) if propeller.hand else ""),
            ("propeller_diameter", m.field(propeller.diameter)),
            ("propeller_pitch", m.field(propeller.pitch)),
            ("shaft_diameter", m.field(propeller.shaft)),
        )
    yield from _mounts(m, engine)
    results = [r for r in m.results("driveline") if r.engine == engine.name and r.case]
    yield from figures_by_speed(m, results, m.caption("driveline.figures_caption", engine))
    names = ("mounting", "propeller-hand", "rotation-astern", "alignment")
    shown = {f"{engine.name}.driveline.{name}" for name in names}
    others = [
        r
        for r in m.results("driveline")
        if r.engine == engine.name and r.id not in shown and ".mount-" not in r.id
    ]
    yield from figures(m, others, m.caption("driveline.trial_caption", engine))


def _mounts(m: VesselManual, engine: FittedEngine) -> Iterator[Block]:
    """What each mount carries, and how the coupling faces were read."""
    entry = engine.entry
    yield from facts(
        m,
        ("installed_mass", m.field(entry.installed_mass)),
    )
    yield from table(
        m.caption("driveline.mounts_caption", engine),
        columns(m, "mount ahead# to_port# at_rest# largest# least# carries#"),
        (
            Row(
                (
                    joined([sentence(mount.title), mount.model]),
                    m.field(mount.at.x if mount.at is not None else None),
                    m.field(mount.at.y if mount.at is not None else None),
                    *(
                        m.outcome(mount_id(engine, mount, what))
                        for what in ("load", "largest-load", "least-load")
                    ),
                    m.field(mount.carries),
                ),
                f"{engine.name}.mounts.{mount.id}",
            )
            for mount in entry.mounts
        ),
    )
    read = entry.alignment
    if read is None:
        return
    yield from table(
        m.caption("driveline.alignment_caption", engine),
        columns(m, "coupling# top# bottom# port# starboard# parallel# date by loading"),
        [
            Row(
                (
                    m.field(read.coupling),
                    *(m.field(getattr(read, side)) for side in GAPS),
                    m.outcome(alignment_id(engine)),
                    read.date,
                    read.by,
                    joined([read.loading, m.text(f"driveline.afloat_{read.afloat}")]),
                )
            )
        ],
    )


def _gear_facts(m: VesselManual, engine: FittedEngine, gear: Gear) -> Iterator[tuple[str, Line]]:
    prefix = f"{engine.name}.driveline"
    yield "gear", " ".join(part for part in (gear.maker, gear.model) if part)
    yield "ratio_ahead", m.field(gear.ratio_ahead)
    yield "ratio_astern", m.field(gear.ratio_astern)
    yield "gear_efficiency", m.field(gear.efficiency)
    yield "housing", m.field(gear.housing)
    yield "flywheel", m.field(gear.flywheel)
    yield "mounting", m.outcome(f"{prefix}.mounting")
    turns = gear.turns_shaft
    yield "turns_shaft", m.choice("senses-of-rotation", turns) if turns else ""
    yield "hand_ahead", m.outcome(f"{prefix}.propeller-hand")
    yield "rotation_astern", m.outcome(f"{prefix}.rotation-astern")
    yield "torsional_approval", m.field(engine.entry.torsional_approval)
    yield "neutral_switch", m.choice("fitted", gear.neutral_switch)


def _controls(m: VesselManual) -> Iterator[Block]:
    """The vessel's cables as run, with what the engine sheet says of their engine end."""
    rows = []
    taken = set()
    for cable in m.vessel.spec.controls:
        engine = _engine_of(m, cable.engine)
        ends = [
            end for end in (engine.sheet.controls if engine else []) if end.works == cable.works
        ]
        taken |= {(engine.name, end.id) for end in ends if engine}
        rows.append(
            Row(
                (
                    m.choice("cables", cable.works),
                    _engine_word(m, engine),
                    cable.station.replace("-", " "),
                    m.field(cable.length),
                    Stack(tuple(m.field(end.travel) for end in ends)),
                    Stack(tuple(end.pulls_to for end in ends)),
                    Stack(tuple(joined([end.end, end.anchor]) for end in ends)),
                    joined([*(end.find for end in ends), cable.notes], " "),
                )
            )
        )
    for engine in m.vessel.engines:
        for end in engine.sheet.controls:
            if (engine.name, end.id) not in taken:
                rows.append(
                    Row(
                        (
                            sentence(end.name or m.choice("cables", end.works)),
                            _engine_word(m, engine),
                            m.text("phrases.nothing_connected"),
                            "",
                            m.field(end.travel),
                            end.pulls_to,
                            joined([end.end, end.anchor]),
                            end.find,
                        )
                    )
                )
    yield from table(
        m.text("driveline.controls_caption"),
        columns(m, "cable engine station length# travel# pulling engine_end find"),
        rows,
    )


def _engine_of(m: VesselManual, name: str | None) -> FittedEngine | None:
    if name is None and m.several:
        return None
    return m.vessel.engine(name)


def _engine_word(m: VesselManual, engine: FittedEngine | None) -> str:
    return m.engine_name(engine) if engine is not None and m.several else ""


def _belts(m: VesselManual, engine: FittedEngine) -> Iterator[Block]:
    yield from table(
        m.caption("driveline.belts_caption", engine),
        columns(m, "belt drives section length# tension part_number change_every"),
        (
            Row(
                (
                    belt.name or sentence(belt.id.replace("-", " ")),
                    ", ".join(belt.drives),
                    belt.section,
                    m.field(belt.length),
                    belt.tension,
                    belt.part_number,
                    belt.change_every,
                ),
                f"{engine.name}.{belt.id}",
            )
            for belt in engine.sheet.belts
        ),
    )
