"""Rating: the power and where it is printed, what the engine does by speed, how it is built."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.speeds import FIGURES, SPEEDS, figure_id, speed_id
from installgen.manual.blocks import Block, Line, Row, Stack
from installgen.manual.pages.common import (
    columns,
    facts,
    over_range,
    speed_columns,
    table,
    without_case,
)
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.spec.vessel import FittedEngine

STATED = "rating.stated-"


def rating_page(m: VesselManual) -> Iterator[Block]:
    """Every vessel has one: an engine always states a power."""
    for engine in m.vessel.engines:
        yield from m.engine_head(engine)
        yield from _rating(m, engine)
        yield from _performance(m, engine)
        yield from _build(m, engine)


def _rating(m: VesselManual, engine: FittedEngine) -> Iterator[Block]:
    rating = engine.rating
    if rating is None:
        return
    yield m.heading("rating.rating_heading", "rating", engine)
    yield from facts(
        m,
        ("rating", rating.name),
        ("rated_power", m.outcome(f"{engine.name}.rating.power") or m.field(rating.power)),
        ("rated_speed", m.field(rating.speed)),
        ("basis", m.choice("bases", rating.basis)),
        ("measured_to", rating.standard),
        ("use", rating.use),
    )
    yield from table(
        m.caption("rating.stated_caption", engine),
        columns(m, "printed_on power# basis difference# verdict"),
        (
            Row(
                (
                    stated.printed_on,
                    m.field(stated.power),
                    m.choice("bases", stated.basis),
                    m.outcome(f"{engine.name}.{STATED}{number}.difference"),
                    _notes(m, f"{engine.name}.{STATED}{number}.difference"),
                )
            )
            for number, stated in enumerate(rating.stated, start=1)
        ),
    )


def _notes(m: VesselManual, result_id: str) -> Line:
    notes = m.book[result_id].notes if result_id in m.book else ()
    return Stack(tuple(sentence(note) for note in notes))


def _performance(m: VesselManual, engine: FittedEngine) -> Iterator[Block]:
    rows = [Row((m.text("rating.speed"), *(m.outcome(speed_id(engine, s)) for s in SPEEDS)))]
    for figure, name in FIGURES.items():
        if figure_id(engine, "rated", figure) in m.book:
            cells = [m.outcome(figure_id(engine, speed, figure)) for speed in SPEEDS]
            rows.append(Row((sentence(name), *cells)))
        if figure == "power":
            torque = [m.outcome(f"{engine.name}.rating.{speed}.torque") for speed in SPEEDS]
            if any(torque):
                rows.append(Row((m.text("rating.torque"), *torque)))
    rows += _other_figures(m, engine)
    yield m.heading("rating.performance_heading", "performance", engine)
    if engine.performance is not None:
        line = m.choice("load-lines", engine.performance.load_line)
        yield m.paragraph("rating.performance_intro", line=line)
    yield from table(
        m.caption("rating.performance_caption", engine),
        (*columns(m, "what"), *speed_columns(m)),
        rows,
    )
    yield from m.figure("power-curve", engine)
    yield from over_range(
        m,
        [r for r in m.results("rating") if r.engine == engine.name and not r.id.endswith(".speed")],
        m.caption("rating.range_caption", engine),
        m.text("rating.range"),
    )


def _other_figures(m: VesselManual, engine: FittedEngine) -> Iterator[Row]:
    """What the analysis has by speed besides the sheet's own figures."""
    shown = {figure.replace("_", "-") for figure in FIGURES} | {"speed", "torque"}
    for result in m.results("rating"):
        what = result.id.rpartition(".")[2]
        if result.engine == engine.name and result.case in SPEEDS and what not in shown:
            shown.add(what)
            ids = [f"{engine.name}.rating.{speed}.{what}" for speed in SPEEDS]
            name = without_case(result.name, result.case)
            yield Row((name, *(m.outcome(result_id) for result_id in ids)))


def _build(m: VesselManual, engine: FittedEngine) -> Iterator[Block]:
    build = engine.sheet.build
    prefix = f"{engine.name}.rating"
    yield m.heading("rating.build_heading", "build", engine)
    yield from facts(
        m,
        ("cycle", m.choice("cycles", build.cycle)),
        ("cylinders", str(build.cylinders)),
        ("bore", m.field(build.bore)),
        ("stroke", m.field(build.stroke)),
        ("displacement", m.field(build.displacement)),
        ("displacement_computed", m.outcome(f"{prefix}.displacement")),
        ("mean_pressure", m.outcome(f"{prefix}.mean-effective-pressure")),
        ("piston_speed", m.outcome(f"{prefix}.piston-speed")),
        ("aspiration", m.choice("aspirations", build.aspiration)),
        ("injection", m.choice("injections", build.injection)),
        ("rotation", m.choice("rotations", build.rotation)),
        ("mass", m.field(build.mass)),
        ("housing", m.field(build.housing)),
        ("flywheel", m.field(build.flywheel)),
        ("ring_gear_teeth", m.field(build.ring_gear_teeth)),
        ("idle", m.field(build.idle)),
        ("high_idle", m.field(build.high_idle)),
        ("largest_angle", m.field(build.largest_angle)),
        ("lowest_cranking_speed", m.field(build.lowest_cranking_speed)),
    )
