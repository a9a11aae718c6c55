"""What the demonstration fleet's build costs, all measured in one run on one machine.

    python -m benchmarks [--runs N] [--yard N]

Builds are whole `mkdocs build` processes, start-up included. The bare build gives MkDocs the very
pages, drawings and tables that ours made, as files, with the same theme: what is left out is
reading specs, analysing and drawing. Page time is that of the bare build. First of all come the
direct-current networks, beside ngspice (`python -m benchmarks.networks` for them alone).

Last comes the check of a whole yard of generated vessels, and of a tenth of it: ten times the
vessels should take ten times as long. The ratio is of processor time, which other work on the
machine hardly changes.
"""

import argparse
import os
import statistics
import tempfile
from pathlib import Path

from benchmarks import networks
from benchmarks.analysing import analysis_s
from benchmarks.builds import Cost, bare_project, built, full_project
from benchmarks.fleet import fleet_cost
from benchmarks.serving import save_to_page_s

PROJECT = Path(__file__).parent.parent


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure the build of the demonstration fleet.")
    parser.add_argument("--runs", type=int, default=3, help="builds of each kind (default 3)")
    parser.add_argument(
        "--yard", type=int, default=1000, help="vessels of the generated yard; 0: none"
    )
    asked = parser.parse_args()
    runs = asked.runs
    networks.main()
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    with tempfile.TemporaryDirectory() as folder:
        full = full_project(PROJECT, Path(folder, "full"))
        bare = bare_project(full, Path(folder, "bare"))
        built(full)  # the first of each fills caches
        built(bare)
        full_costs, bare_costs = [], []
        for _ in range(runs):
            full_costs.append(built(full))
            bare_costs.append(built(bare))
        analysing_s = analysis_s(full / "specs", runs)
        first_s, all_s = save_to_page_s(full, runs)
        pages = len(list((full / "site").rglob("*.html")))

    full_cost, bare_cost = median(full_costs), median(bare_costs)
    vessels = len(list((PROJECT / "specs" / "vessels").glob("*.yaml")))
    print(f"vessels, pages                     {vessels}, {pages}")
    print(f"full build                         {full_cost.seconds:.2f} s")
    print(f"bare MkDocs, same pages as files   {bare_cost.seconds:.2f} s")
    print(f"ratio, full to bare                {full_cost.seconds / bare_cost.seconds:.2f}")
    print(f"analysis                           {analysing_s:.2f} s")
    print(f"analysis as a share of page time   {analysing_s / bare_cost.seconds:.0%}")
    print(f"save to page, one vessel, serving  {statistics.median(first_s):.2f} s")
    print(f"save to her last page              {statistics.median(all_s):.2f} s")
    print(f"peak memory, full build            {full_cost.peak_mb:.0f} MB")
    print(f"peak memory, bare build            {bare_cost.peak_mb:.0f} MB")
    if asked.yard >= 10:
        print_yard(asked.yard)


def print_yard(vessels: int) -> None:
    """Measure and print what the check of a yard costs, and of a tenth of it."""
    part, whole = (fleet_cost(PROJECT, count) for count in (vessels // 10, vessels))
    ratio = whole.processor_seconds / part.processor_seconds
    print(f"check of {part.vessels} vessels".ljust(35) + f"{part.seconds:.1f} s")
    print(f"check of {whole.vessels} vessels".ljust(35) + f"{whole.seconds:.1f} s")
    print(f"seconds for a hundred              {whole.per_hundred:.1f} s")
    print(f"ratio, {whole.vessels} to {part.vessels}".ljust(35) + f"{ratio:.2f}")


def median(costs: list[Cost]) -> Cost:
    """The middle of several runs, each figure by itself."""
    return Cost(
        statistics.median(cost.seconds for cost in costs),
        statistics.median(cost.peak_mb for cost in costs),
    )


if __name__ == "__main__":
    main()
