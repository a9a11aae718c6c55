"""What direct-current networks cost: every fault of the largest vessel, and points a second.

    python -m benchmarks.networks

Both are measured with the same elements, contacts and resistances as ngspice gets, in one run. The
study is the one that the manual is made from: every element broken, every joint poor on every rung
of the ladder, every contact stuck, each through the whole sequence, with a weak and with a strong
battery.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from unittest.mock import patch

from installgen.analysis.analyse import Analysis, analyse
from installgen.analysis.dc_cases import solve_cases
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_sources import BatteryModel
from installgen.analysis.fault_bench import Bench, Fault
from installgen.analysis.fault_study import study_faults
from installgen.analysis.symptoms import Outcome
from installgen.calc import dc_solver
from installgen.calc.dc_assembly import Assembly
from installgen.calc.dc_elements import Alternator, Resistor
from installgen.calc.dc_network import Network, Point, Variation
from installgen.calc.dc_solver import solve_many
from installgen.calc.operating_point import OperatingPoints
from installgen.spec.load import SpecLibrary
from tests.published.ngspice import ngspice_is_missing, ngspice_sweep_s

PROJECT = Path(__file__).parent.parent
TIMES = (0.25, 0.5, 0.8, 1.25, 2.0, 4.0, 8.0, 16.0)
"""What each resistance is multiplied by, one point each."""

RUNS = 3


@dataclass
class Counted:
    """What a study asked for."""

    faults: int = 0
    cases: int = 0
    solves: int = 0
    unsolved: int = 0


def main() -> None:
    """Measure and print."""
    analysis = largest()
    assert analysis.dc is not None
    print(f"vessel                             {analysis.vessel.spec.vessel.name}")
    print(f"conductors, devices                {_conductors(analysis)}, {_devices(analysis)}")
    study(analysis)
    points(analysis.dc.cases)


def largest() -> Analysis:
    """The vessel of the demonstration fleet with the most conductors."""
    vessels = [analyse(vessel) for vessel in SpecLibrary.at(PROJECT / "specs").vessels()]
    return max((found for found in vessels if found.dc is not None), key=_conductors)


def _conductors(analysis: Analysis) -> int:
    return len(analysis.dc.model.wires()) if analysis.dc is not None else 0


def _devices(analysis: Analysis) -> int:
    return len(list(analysis.vessel.devices()))


def study(analysis: Analysis) -> None:
    """Time every fault of every engine, counting what is asked of the solver."""
    dc = analysis.dc
    assert dc is not None
    counted = Counted()
    solve_some, run = dc_solver._solve_some, Bench.run

    def counting_solve(
        assembly: Assembly, points: Sequence[Point], some: list[int], results: OperatingPoints
    ) -> None:
        solve_some(assembly, points, some, results)
        counted.solves += len(some)
        counted.unsolved += int((~results.solved[some]).sum())

    def counting_run(
        bench: Bench, faults: Sequence[Fault], *, readings: bool
    ) -> tuple[list[dict[str, Outcome]], int]:
        found, cases = run(bench, faults, readings=readings)
        counted.faults += len(faults)
        counted.cases += cases
        return found, cases

    started = time.perf_counter()
    with (
        patch.object(dc_solver, "_solve_some", counting_solve),
        patch.object(Bench, "run", counting_run),
    ):
        strongest = solve_cases(dc.model, BatteryModel.STRONGEST)
        studies = [
            study_faults(dc.model, engine.name, dc.cases, strongest)
            for engine in analysis.vessel.engines
        ]
    seconds = time.perf_counter() - started
    skipped = studies.count(None)
    elements = max(len(found.network.elements) for found in dc.cases if found.network)
    print(f"elements of the largest network    {elements}")
    print(f"engines studied, skipped           {len(studies) - skipped}, {skipped}")
    print(f"faults followed                    {counted.faults}")
    print(f"cases followed                     {counted.cases}")
    print(f"solves, without a solution         {counted.solves}, {counted.unsolved}")
    print(f"full fault study                   {seconds:.1f} s")
    print(f"solves a second in the study       {counted.solves / seconds:.0f}")


def points(cases: Sequence[SolvedCase]) -> None:
    """The same operating points by us and by ngspice, each in one process."""
    found = max(
        (case for case in cases if case.network and not _regulated(case.network)),
        key=lambda case: len(case.network.elements) if case.network else 0,
    )
    network, settled = found.network, found.settled
    assert network is not None
    assert settled is not None
    closed = settled.point.closed
    varied = [
        (element.id, element.resistance_ohm * times)
        for element in network.elements
        if isinstance(element, Resistor) and element.resistance_ohm > 0.0
        for times in TIMES
    ]
    asked = [Point(closed, Variation(resistance_ohm={name: ohm})) for name, ohm in varied]
    ours_s, theirs_s = [], []
    for _ in range(RUNS):  # by turns, so that other work on the machine meets both
        started = time.perf_counter()
        solved = solve_many(network, asked)
        ours_s.append(time.perf_counter() - started)
        if not ngspice_is_missing():
            theirs_s.append(ngspice_sweep_s(network, closed, varied))
    print(f"operating points                   {len(varied)}, of {found.case.name}")
    print(f"without a solution                 {int((~solved.solved).sum())}")
    print(f"ours, points a second              {len(varied) / median(ours_s):.0f}")
    if not theirs_s:
        print("ngspice is not installed")
        return
    print(f"ngspice, points a second           {len(varied) / median(theirs_s):.0f}")
    print(f"ratio                              {median(theirs_s) / median(ours_s):.0f}")


def _regulated(network: Network) -> bool:
    return any(isinstance(element, Alternator) for element in network.elements)


if __name__ == "__main__":
    main()
