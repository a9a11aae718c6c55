"""How long an engine may be cranked before the pump floods it, and which seacock to shut then."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.cranking_flood import cranking_attempts_id, cranking_limit_id
from installgen.analysis.route import Step
from installgen.manual.blocks import Caution, Line, Link, Outcome, Strong, Target
from installgen.manual.links import RAW_WATER, STARTING
from installgen.manual.vessel_manual import VesselManual, coded
from installgen.spec.piping import Seacock
from installgen.spec.vessel import FittedEngine


def may_flood(m: VesselManual) -> list[FittedEngine]:
    """The engines whose raw water can reach them through their exhaust while they are cranked."""
    return [engine for engine in m.vessel.engines if cranking_limit_id(engine) in m.book]


def cranking_panel(
    m: VesselManual, *, lead: bool, short: bool = False, only: FittedEngine | None = None
) -> Iterator[Caution]:
    """One panel for all engines, or for one; nothing where no water is injected into an exhaust.

    lead: whether it ends with the way to the starting procedure
    short: without the reason, which the starting procedure gives
    only: the engine that it is about
    """
    engines = [engine for engine in may_flood(m) if only in (None, engine)]
    if not engines:
        return
    lines: list[Line] = []
    for engine in engines:
        lines += _lines(m, engine)
    if not short:
        lines.append(m.say("cranking.why"))
    if lead:
        lines.append(Link(m.text("cranking.lead"), Target(STARTING)))
    lines.append(m.say("safety.deferral"))
    yield Caution("warning", tuple(lines))


def _lines(m: VesselManual, engine: FittedEngine) -> Iterator[Line]:
    """The limit of one engine, and what to do at it."""
    limit = m.book[cranking_limit_id(engine)]
    name = m.engine_name(engine)
    cocks = seacocks_line(m, engine)
    attempts = m.book[cranking_attempts_id(engine)].value
    if not limit.assessed:
        yield m.say("cranking.unknown", engine=name, limit=Outcome(limit))
        yield m.say("cranking.shut_at_once", cocks=cocks) if cocks else m.say("cranking.no_seacock")
        return
    count = Outcome(m.book[cranking_attempts_id(engine)])
    text = m.say("cranking.limit", engine=name, limit=Outcome(limit), attempts=count)
    yield Strong(text)
    if not cocks:
        yield m.say("cranking.no_seacock")
    elif attempts == 0:
        yield m.say("cranking.shut_at_once", cocks=cocks)
    else:
        yield m.say("cranking.then_shut", cocks=cocks)
    if others := sharing(m, engine):
        yield m.say("cranking.shared", others=", ".join(others))


def seacocks(m: VesselManual, engine: FittedEngine) -> list[Step]:
    """The seacocks on an engine's raw-water route, as far as it is written."""
    route = m.analysis.routes.get(engine.name)
    return [s for s in route.steps if isinstance(s.entry, Seacock)] if route is not None else []


def seacocks_line(m: VesselManual, engine: FittedEngine) -> Line:
    """Each seacock with its code, a way to it and where it is found; empty where there is none."""
    parts: list[Line] = []
    for step in seacocks(m, engine):
        name = Link(coded(step.name, step.code), Target(RAW_WATER, step.id))
        find = getattr(step.entry, "find", "") or m.place(getattr(step.entry, "place", None))
        parts.append((name, f" ({find.rstrip('.')})") if find else name)
    joined: list[Line] = []
    for number, part in enumerate(parts):
        joined += [f" {m.text('cranking.and')} ", part] if number else [part]
    return tuple(joined)


def sharing(m: VesselManual, engine: FittedEngine) -> list[str]:
    """The other engines that draw through this one's intake."""
    for opening in m.analysis.openings:
        if opening.kind == "intake" and engine.name in opening.engines:
            return [
                m.engine_name(m.vessel.engine(name)).lower()
                for name in opening.engines
                if name != engine.name
            ]
    return []
