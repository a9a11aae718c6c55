"""Finding faults: symptoms first, each with a page that asks one question a screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from installgen.analysis.fault_bench import FaultKind
from installgen.analysis.fault_study import FaultEffect
from installgen.analysis.fault_trees import EngineFaults
from installgen.analysis.sequences import own_sequence
from installgen.analysis.symptoms import Symptom
from installgen.manual.blocks import (
    Block,
    Bullets,
    Figure,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Step,
    Steps,
    Strong,
    Target,
    joined,
)
from installgen.manual.links import FAULTS, READINGS
from installgen.manual.pages.common import blank_column, columns, table, typed
from installgen.manual.pages.cranking import cranking_panel
from installgen.manual.pages.electrical import terminal_line
from installgen.manual.pages.fault_cases import case_line
from installgen.manual.pages.fault_causes import OUTSIDE, other_causes
from installgen.manual.pages.fault_screens import ALL_SUSPECTS, TreeScreens, suspect_anchor
from installgen.manual.pages.fault_words import (
    cure_line,
    fault_line,
    suspects_by_thing,
    thing_line,
    thing_place,
    what_is_wrong,
)
from installgen.manual.pages.reading_words import millivolts
from installgen.manual.vessel_manual import VesselManual, full_stop
from installgen.manual.ways import isolator_lines, starter_is_live
from installgen.spec.electrical import Plug
from installgen.spec.vessel import FittedEngine

NOW_AND_THEN = "now-and-then"
PREHEAT = (Symptom.PREHEAT_ABSENT, Symptom.PREHEAT_STUCK)
MOST_JOINTS = 24
"""Joints that the list of intermittent ones names: the likeliest."""


def symptom_slug(symptom: Symptom) -> str:
    """A symptom as a page's name says it."""
    return symptom.name.lower().replace("_", "-")


def symptom_page(m: VesselManual, engine: str, name: str) -> str:
    """Id of the page of one symptom of one engine."""
    return f"fault-{engine}-{name}" if m.several else f"fault-{name}"


def preheats(faults: EngineFaults) -> bool:
    """Whether an engine's preheat is connected."""
    return any(case.state(faults.study.engine).state == "preheating" for case in faults.study.cases)


def fault_finding_page(m: VesselManual) -> Iterator[Block]:
    """The symptoms, for each engine; nothing where there is no circuit."""
    if m.analysis.dc is None:
        return
    yield m.caution("warning", "faults.caution_moving", "faults.caution_battery")
    yield m.paragraph("faults.intro")
    yield from _not_studied(m)
    for faults in m.faults:
        engine = m.vessel.engine(faults.study.engine)
        yield m.heading_of("faults.symptoms_heading", "symptoms", engine)
        yield Bullets(tuple(_symptom_lines(m, faults)))
        elsewhere = [s for s in Symptom if s not in faults.trees]
        if not preheats(faults):
            yield m.paragraph("faults.no_preheat")
            elsewhere = [s for s in elsewhere if s not in PREHEAT]
        if elsewhere:
            yield m.paragraph("faults.elsewhere")
            yield Bullets(
                tuple(
                    (
                        Strong(m.choice("symptoms", symptom_slug(s))),
                        ": ",
                        m.say(f"symptom-causes.{symptom_slug(s)}"),
                    )
                    for s in elsewhere
                )
            )
    if m.readings:
        link = Link(m.text("titles.readings"), Target(READINGS))
        yield m.paragraph("faults.readings", readings=link)
    yield m.paragraph("faults.method")


def _not_studied(m: VesselManual) -> Iterator[Block]:
    """The engines whose sequence cannot be solved as built, and why."""
    assert m.analysis.dc is not None
    studied = {faults.study.engine for faults in m.faults}
    for engine in m.vessel.engines:
        if engine.name not in studied:
            own = own_sequence(engine.name, m.analysis.dc.cases)
            reason = next((case.reason for case in own if case.reason), "")
            name = m.engine_name(engine).lower()
            yield m.paragraph("faults.not_studied", engine=name, reason=typed(full_stop(reason)))


def _symptom_lines(m: VesselManual, faults: EngineFaults) -> Iterator[Line]:
    engine = faults.study.engine
    for symptom in faults.trees:
        name = symptom_slug(symptom)
        link = Link(m.choice("symptoms", name), Target(symptom_page(m, engine, name)))
        yield (Strong(link), ": ", m.say(f"symptom-looks.{name}"))
    link = Link(m.choice("symptoms", NOW_AND_THEN), Target(symptom_page(m, engine, NOW_AND_THEN)))
    yield (Strong(link), ": ", m.say(f"symptom-looks.{NOW_AND_THEN}"))


def symptom_pages(m: VesselManual) -> list[Page]:
    """The page of every symptom of every engine."""
    pages = []
    for faults in m.faults:
        engine = m.vessel.engine(faults.study.engine)
        names = [symptom_slug(symptom) for symptom in faults.trees]
        for symptom, name in zip(faults.trees, names, strict=True):
            blocks = tuple(_symptom_blocks(m, faults, symptom))
            pages.append(_page(m, engine, name, blocks))
        pages.append(_page(m, engine, NOW_AND_THEN, tuple(_intermittent(m, faults))))
    return pages


def _page(m: VesselManual, engine: FittedEngine, name: str, blocks: Sequence[Block]) -> Page:
    title = m.choice("symptoms", name)
    if m.several:
        title = m.text("faults.title_of", engine=m.engine_name(engine), symptom=title)
    page_id = symptom_page(m, engine.name, name)
    return Page(page_id, title, tuple(blocks), "start-run-stop", FAULTS)


def _symptom_blocks(m: VesselManual, faults: EngineFaults, symptom: Symptom) -> Iterator[Block]:
    name = symptom_slug(symptom)
    page = symptom_page(m, faults.study.engine, name)
    engine = m.vessel.engine(faults.study.engine)
    yield _way_up(m)
    if symptom is Symptom.STARTER_STAYS_IN:
        live = isolator_lines(m) if starter_is_live(m, engine) else ()
        yield m.caution("danger", "faults.caution_stays_in", more=live)
    yield m.caution("warning", "faults.caution_moving", "faults.caution_battery")
    if symptom is Symptom.CRANKS_DOES_NOT_START:
        yield from cranking_panel(m, lead=True, short=True, only=engine)
    outside = tuple(other_causes(m, engine, symptom))
    yield _looks(m, name, page, linked=bool(outside))
    yield TreeScreens(m, faults, faults.trees[symptom], page).screens()
    yield from outside
    yield m.heading("faults.suspects_heading", ALL_SUSPECTS)
    suspects = sorted(
        faults.study.with_symptom(symptom),
        key=lambda effect: (-faults.chances.weight(effect), effect.fault.id),
    )
    yield from table(
        m.text("faults.suspects_caption"),
        columns(m, "suspect what_is_wrong place what_to_do"),
        (_suspect_row(m, faults, thing, effects) for thing, effects in suspects_by_thing(suspects)),
    )
    sheets = sorted(sheet for sheet in m.drawings if sheet.startswith(f"{page}."))
    if sheets:
        yield m.heading("faults.drawn_heading", "drawn")
    for sheet in sheets:
        yield Figure(sheet)


def _looks(m: VesselManual, name: str, page: str, *, linked: bool) -> Paragraph:
    """What one sees, and what besides the wiring may be behind it."""
    parts: list[Line] = [m.say(f"symptom-looks.{name}"), m.say(f"symptom-causes.{name}")]
    if linked:
        parts.append(Link(m.text("faults.outside_link"), Target(page, OUTSIDE)))
    return Paragraph(joined(parts, " "))


def _suspect_row(
    m: VesselManual, faults: EngineFaults, thing: str, effects: Sequence[FaultEffect]
) -> Row:
    study = faults.study
    return Row(
        (
            thing_line(m, study, thing),
            what_is_wrong(m, study, effects),
            thing_place(m, study, thing),
            cure_line(m, study, thing),
        ),
        suspect_anchor(thing),
    )


def _way_up(m: VesselManual) -> Paragraph:
    return m.paragraph("faults.way_up", all=Link(m.text("titles.faults"), Target(FAULTS)))


# ---- stops now and then -------------------------------------------------------------------------


def _intermittent(m: VesselManual, faults: EngineFaults) -> Iterator[Block]:
    """The joints whose opening stops her or keeps her from starting, and how each is read."""
    yield _way_up(m)
    yield m.caution("warning", "faults.caution_moving", "faults.caution_battery")
    yield m.paragraph("faults.now_and_then_intro")
    steps = ("load", "across", "move", "mend")
    yield Steps(tuple(Step(m.say(f"faults.now_and_then_{step}")) for step in steps))
    starting = {Symptom.DOES_NOT_CRANK, Symptom.CLICKS, Symptom.CRANKS_DOES_NOT_START}
    breaks = [e for e in faults.study.effects if e.fault.kind is FaultKind.BROKEN]
    stops = _joints(
        faults, [e for e in breaks if e.fault.element in faults.stopping_breaks], "running-idle"
    )
    starts = _joints(faults, [e for e in breaks if e.symptoms & starting], "cranking")
    for key, state, joints in (
        ("stopping", "running-idle", stops),
        ("starting", "cranking", starts),
    ):
        if not joints:
            if key == "stopping":
                yield m.paragraph("faults.no_joint_stops")
            continue
        case = next(c for c in faults.study.cases if c.state(faults.study.engine).key == state)
        yield m.heading(f"faults.joints_{key}_heading", f"joints-{key}")
        yield Paragraph(case_line(m, faults.study.engine, case))
        yield from table(
            m.text(f"faults.joints_{key}_caption"),
            (
                *columns(m, "suspect red_lead black_lead drop_whole# place"),
                blank_column(m),
            ),
            (_joint_row(m, faults, effect, state) for effect in joints[:MOST_JOINTS]),
        )
    yield from other_causes(m, m.vessel.engine(faults.study.engine), None)


def _joints(faults: EngineFaults, breaks: Sequence[FaultEffect], state: str) -> list[FaultEffect]:
    """Breaks of joints whose ends can be read, the likeliest first."""
    found: dict[tuple[str, str], FaultEffect] = {}
    for effect in sorted(breaks, key=lambda e: (-faults.chances.weight(e), e.fault.id)):
        ends = _readable_ends(faults, effect.fault.element)
        if ends is not None and _drop_v(faults, ends, state) is not None:
            found.setdefault(ends, effect)
    return list(found.values())


def _readable_ends(faults: EngineFaults, element: str) -> tuple[str, str] | None:
    """The terminals between which a joint is read; None for what is no joint, or lies inside.

    A lug is read over its whole conductor, the pin of a plug over the conductors on both sides.
    """
    study = faults.study
    base = element.removesuffix(":joints")
    if base not in faults.joints:
        return None
    ends = study.ends[base]
    if isinstance(study.entries.get(base), Plug):
        found = tuple(_far_end(faults, base, node) for node in ends)
        return found if "" not in found else None  # type: ignore[return-value]
    if f"{base}:joints" in study.ends:
        ends = ends[0], study.ends[f"{base}:joints"][1]
    first, second = (end.removesuffix(":engine") for end in ends)
    return None if ":" in first + second or first == second else (first, second)


def _far_end(faults: EngineFaults, pin: str, node: str) -> str:
    """The other end of the conductor on one side of a pin; empty where there is none."""
    study = faults.study
    for name, ends in study.ends.items():
        middle = f"{name}:joints"
        if name == pin or middle not in study.ends:
            continue
        run = ends[0], study.ends[middle][1]
        if node in run:
            far = (run[1] if run[0] == node else run[0]).removesuffix(":engine")
            return "" if ":" in far else far
    return ""


def _drop_v(faults: EngineFaults, ends: tuple[str, str], state: str) -> float | None:
    """What is lost between two terminals with everything whole, weakest battery [V]."""
    for found in faults.weakest:
        if found.case.state(faults.study.engine).key == state:
            across = found.across_v(*ends)
            return None if across is None else abs(across)
    return None


def _joint_row(m: VesselManual, faults: EngineFaults, effect: FaultEffect, state: str) -> Row:
    ends = _readable_ends(faults, effect.fault.element)
    assert ends is not None
    drop = _drop_v(faults, ends, state) or 0.0
    thing = effect.fault.element.partition(":")[0]
    return Row(
        (
            (
                thing_line(m, faults.study, thing),
                ": ",
                fault_line(m, faults.study, effect.fault),
            ),
            terminal_line(m, ends[0]),
            terminal_line(m, ends[1]),
            millivolts(drop),
            thing_place(m, faults.study, thing),
            "",
        )
    )
