"""Raw-water routes: the water takes each piece once, in order, and branches where it may."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from installgen.errors import Problem
from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import Entry
from installgen.spec.piping import Branch, EngineSection, Fitting, RoutePiece, SheetStep
from installgen.spec.problems import named, problem_at, unique
from installgen.spec.vessel import Build, FittedEngine
from installgen.spec.vessel_spec import RawWater

ENDS = ("exhaust_injection", "discharge")


def route_problems(vessel: Build) -> list[Problem]:
    """Everything wrong with the raw-water routes of a vessel."""
    problems: list[Problem] = []
    for water in vessel.spec.raw_water:
        try:
            engine = vessel.engine(water.engine)
        except KeyError:
            continue
        problems += _sections(water, engine.sheet)
        problems += _order(water.route, "the main route")
        problems += _names(water, engine)
        for branch in _branches(water.route):
            problems += _branch(branch)
            if branch.rejoins is not None:
                problems += _rejoins(branch, water, engine.sheet)
    return problems


def sheet_route_problems(engine: FittedEngine) -> list[Problem]:
    """An engine's own route, with the options taken: each step once, of what is fitted."""
    water = engine.sheet.raw_water
    if water is None:
        return []
    problems: list[Problem] = []
    fitted = {
        "pump": {pump.id for pump in water.pumps},
        "cooler": {cooler.id for cooler in water.coolers},
        "at": {point.id for point in engine.sheet.connections},
    }
    seen: dict[str, SheetStep] = {}
    for step in water.route:
        for field, ids in fitted.items():
            name = getattr(step, field)
            if name is None:
                continue
            if name not in ids:
                problems.append(
                    problem_at(
                        step,
                        field,
                        f"`{name}`, which these options leave out ({_taken(engine)})",
                        "`fitted_when` on this step too",
                    )
                )
            elif seen.setdefault(name, step) is not step:
                problems.append(_again(step, field, name, seen[name]))
    return problems


def _taken(engine: FittedEngine) -> str:
    return ", ".join(f"{option}: {choice}" for option, choice in engine.options.items())


def _again(step: Entry, field: str, name: str, first: Entry) -> Problem:
    return problem_at(
        step,
        field,
        f"`{name}` a second time, so that the water goes round",
        f"each place once; the first is at {first.where(field)}",
    )


def _sections(water: RawWater, sheet: EngineSheet) -> list[Problem]:
    """The engine's route, taken in sections: forwards, in order, and no part of it twice."""
    steps = sheet.raw_water.route if sheet.raw_water else []
    points = [step.at for step in steps if step.at is not None]
    place = {step.at: index for index, step in enumerate(steps) if step.at is not None}
    problems: list[Problem] = []
    passed = 0
    for piece in water.route:
        section = piece.engine
        if section is None:
            continue
        wrong = named(section, "from_", points) + named(section, "to", points)
        if wrong:
            problems += wrong
            continue
        start = 0 if section.from_ is None else place[section.from_]
        end = len(steps) if section.to is None else place[section.to]
        order = f"the order of the sheet: {', '.join(points)}"
        # The bare word `engine` is a section without a place of its own.
        at: tuple[Entry, str] = (section, "from_") if section.origin else (piece, "engine")
        if end <= start and steps:
            problems.append(problem_at(*at, f"{_said(section)}, backwards", order))
        elif start < passed:
            found = f"{_said(section)}, where the water has been already"
            expected = f"each part of the engine once, in {order}"
            problems.append(problem_at(*at, found, expected))
        passed = max(passed, end)
    return problems


def _said(section: EngineSection) -> str:
    if section.from_ is None and section.to is None:
        return "the whole engine"
    return f"the engine from `{section.from_ or 'its inlet'}` to `{section.to or 'its outlet'}`"


def _order(route: list[RoutePiece], where: str) -> list[Problem]:
    """A route ends once, at its end, and does not begin with a branch."""
    problems = []
    for piece, after in pairwise(route):
        if piece.kind in ENDS:
            problems.append(
                problem_at(
                    after,
                    after.kind,
                    f"`{after.kind}` after `{piece.kind}`, where the water has left",
                    f"`{piece.kind}` as the last piece of {where}",
                )
            )
    if route[0].branch is not None:
        problems.append(
            problem_at(
                route[0],
                "branch",
                f"a branch as the first piece of {where}",
                "the piece that it leaves from, before it",
            )
        )
    return problems


def _branch(branch: Branch) -> list[Problem]:
    problems = _order(branch.route, "the branch")
    for piece in branch.route:
        if piece.engine is not None:
            problems.append(
                problem_at(
                    piece, "engine", "the engine inside a branch", "the engine in the main route"
                )
            )
        elif piece.branch is not None:
            problems.append(
                problem_at(
                    piece, "branch", "a branch inside a branch", "branches of the main route only"
                )
            )
    return problems


def _rejoins(branch: Branch, water: RawWater, sheet: EngineSheet) -> list[Problem]:
    """A bypass comes back after it left, or it would feed itself."""
    passed: list[str] = []
    left_after: int | None = None
    for piece in water.route:
        if piece.branch is branch:
            left_after = len(passed)
        elif piece.engine is not None:
            passed += _engine_names(piece.engine, sheet)
        elif name := _id(piece.piece):
            passed.append(name)
    later = passed[left_after:] if left_after is not None else []
    if branch.rejoins not in passed:
        return named(branch, "rejoins", later)
    if branch.rejoins not in later:
        return [
            problem_at(
                branch,
                "rejoins",
                f"a branch that comes back at `{branch.rejoins}`, before it leaves: "
                "it would feed itself",
                "a piece of the main route after the branch"
                + (f": {', '.join(later)}" if later else ""),
            )
        ]
    return []


def _engine_names(section: EngineSection, sheet: EngineSheet) -> Iterator[str]:
    """The pieces of an engine's own route, or of a section of it, in order."""
    inside = section.from_ is None
    for step in sheet.raw_water.route if sheet.raw_water is not None else []:
        inside = inside or (step.at is not None and step.at == section.from_)
        if step.at is not None and step.at == section.to:
            return
        name = step.pump or step.cooler or (step.hose.id if step.hose is not None else None)
        if inside and name is not None:
            yield name


def _branches(route: list[RoutePiece]) -> Iterator[Branch]:
    return (piece.branch for piece in route if piece.branch is not None)


def _names(water: RawWater, engine: FittedEngine) -> list[Problem]:
    """Names of pieces, the engine's own among them: each once in the main route and a branch."""
    sheet = engine.sheet.raw_water
    own: list[Entry] = []
    if sheet is not None:
        own = [*sheet.pumps, *sheet.coolers, *(step.hose for step in sheet.route if step.hose)]
    pieces = [
        piece.piece
        for piece in water.route
        if isinstance(piece.piece, Fitting | Branch) and piece.piece.id is not None
    ]
    problems = unique([*(item for item in own if _id(item)), *pieces], "id", "piece of the route")
    for branch in _branches(water.route):
        inside = [piece.piece for piece in branch.route if _id(piece.piece)]
        problems += unique(inside, "id", "piece of the branch")
    return problems


def _id(entry: Entry) -> str | None:
    name: str | None = getattr(entry, "id", None)
    return name
