"""Drawings as large as a real vessel's can be read: nothing lies on anything, on any medium."""

import random
import re
from importlib.resources import files

import pytest

from installgen.drawings.graph import Arrow, Drawing, Edge, Group, Node, Terminal
from installgen.drawings.kinds import Kind, Line, Status
from installgen.drawings.paper import A4, fit_on_paper
from installgen.drawings.paper_figure import paper_figure, side_by_side
from installgen.drawings.render import Rendered, render
from installgen.drawings.sheets import MARGIN_PX, paper_sheets
from tests.drawings import samples
from tests.drawings.boxes import Box, faults, measure, shared_runs

TELEPHONE_PX = 360
LEAST_TEXT_PT = 6.5


@pytest.fixture(scope="module")
def rendered() -> dict[str, Rendered]:
    drawings = [make() for make in samples.ALL] + samples.functions()
    found = {one.drawing.id: one for one in render(drawings)}
    return found | {"engine-plan": samples.plan()}


def test_the_measure_sees_what_is_wrong() -> None:
    good = render([samples.grouped()])[0].svg
    assert faults(good) == []
    assert faults(good.replace('font-size="12"', 'font-size="16"')) != []
    assert Box(0, 0, 10, 10).overlaps(Box(9, 9, 20, 20))
    assert not Box(0, 0, 10, 10).overlaps(Box(10, 0, 20, 10))


def test_nothing_lies_on_anything(rendered: dict[str, Rendered]) -> None:
    assert {name: faults(one.svg) for name, one in rendered.items() if faults(one.svg)} == {}


def test_no_two_lines_run_in_one_place(rendered: dict[str, Rendered]) -> None:
    found = {name: shared_runs(one.svg) for name, one in rendered.items()}
    assert {name: runs for name, runs in found.items() if runs} == {}


def test_dot_complains_of_nothing(rendered: dict[str, Rendered]) -> None:
    assert [one.warnings for one in rendered.values() if one.warnings] == []


def test_a_route_of_twenty_two_pieces_nearly_fits_a_telephone(
    rendered: dict[str, Rendered],
) -> None:
    assert rendered["raw-water"].width_px <= TELEPHONE_PX + 10
    assert rendered["engine-plan"].width_px <= TELEPHONE_PX + 40


def test_each_function_of_a_circuit_of_sixty_conductors_can_be_printed(
    rendered: dict[str, Rendered],
) -> None:
    whole = samples.circuit()
    assert len(whole.edges) >= 60
    assert not rendered[whole.id].paper.readable
    shown: set[str] = set()
    for part in samples.functions():
        one = rendered[part.id]
        assert one.paper.text_pt >= LEAST_TEXT_PT
        assert not one.paper.turned
        assert one.width_px < 2 * TELEPHONE_PX
        shown |= {edge.code for edge in part.edges}
    assert {edge.code for edge in whole.edges} - shown <= {"W4", "W58", "W59"}


def test_every_drawing_but_the_whole_circuit_can_be_printed(
    rendered: dict[str, Rendered],
) -> None:
    for name, one in rendered.items():
        if name not in ("start-circuit", "hostile"):
            assert one.paper.readable or paper_sheets(one), name


def test_columns_cut_only_lines(rendered: dict[str, Rendered]) -> None:
    one = rendered["raw-water"]
    sheets = paper_sheets(one)
    assert len(sheets) == 2
    texts = measure(one.svg).texts
    shown: list[str] = []
    for sheet in sheets:
        view = measure(sheet).view
        top, bottom = view.top + MARGIN_PX, view.bottom - MARGIN_PX
        shown += [text.what for text in texts if top <= text.top and text.bottom <= bottom]
        assert [t for t in texts if t.top < top < t.bottom or t.top < bottom < t.bottom] == []
    assert sorted(shown) == sorted(text.what for text in texts)
    across_mm = sum(measure(sheet).view.width for sheet in sheets) * 25.4 / 96
    assert across_mm * LEAST_TEXT_PT / 9 <= 180


def test_paper_turns_only_when_that_helps() -> None:
    assert not fit_on_paper(400, 900).turned
    assert fit_on_paper(400, 300).text_pt == pytest.approx(9.0)
    wide = fit_on_paper(1300, 600)
    assert wide.turned
    assert wide.text_pt == pytest.approx(9.0 * 267 / (1300 * 25.4 / 96))
    assert not fit_on_paper(3000, 600).readable


def tangle(seed: int) -> Drawing:
    """A drawing that nobody would design: cycles, jumpers, frames, held nodes, empty names."""
    chance = random.Random(seed)
    nodes = []
    for number in range(chance.randint(1, 12)):
        count = chance.choice([0, 0, 1, 2, 4])
        nodes.append(
            Node(
                f"n{number}",
                chance.choice(list(Kind)),
                chance.choice(["Pump", "Raw-water strainer", "Start relay K1", ""]),
                chance.choice(["", f"C{number}"]),
                ("what it says",) * chance.choice([0, 1, 2]),
                status=chance.choice([Status.NORMAL, *Status]),
                terminals=tuple(
                    Terminal(str(n), chance.choice(["30", "B+", ""])) for n in range(count)
                ),
            )
        )
    edges = []
    for _ in range(chance.randint(0, 2 * len(nodes))):
        ends = chance.choice(nodes), chance.choice(nodes)
        ports = [chance.choice([t.id for t in end.terminals] or [""]) for end in ends]
        edges.append(
            Edge(
                ends[0].id, ends[1].id, chance.choice(list(Line)), *ports,
                code=chance.choice(["", "W12"]),
                lines=chance.choice([(), ("2.5 mm²",), ("1.5 mm² × 3 m", "white/red")]),
                arrow=chance.choice(list(Arrow)),
                back=chance.random() < 0.1,
            )
        )  # fmt: skip
    names = [node.id for node in nodes]
    groups: tuple[Group, ...] = ()
    if seed % 3 == 0 and len(names) > 5:
        groups = (Group("g1", "Engine space", tuple(names[:3])), Group("g2", "", (names[4],)))
    held = not groups and seed % 2
    return Drawing(
        f"d{seed}", "Title", "What it shows.", tuple(nodes), tuple(edges), groups,
        top=(names[0],) if held else (), bottom=(names[-1],) if held else (),
    )  # fmt: skip


def test_a_hundred_tangles_are_laid_out_without_a_fault() -> None:
    for one in render([tangle(seed) for seed in range(100)]):
        assert faults(one.svg) == [], one.drawing.id
        assert one.warnings == ()


def sizes_mm(pieces: str) -> list[tuple[float, float]]:
    """Width and height of each piece of a figure."""
    found = re.findall(r'<svg[^>]* width="([\d.]+)mm" height="([\d.]+)mm"', pieces)
    return [(float(width), float(height)) for width, height in found]


@pytest.mark.parametrize("columns", [2, 3, 5])
def test_columns_with_the_gaps_between_them_stand_in_one_line(
    rendered: dict[str, Rendered], columns: int
) -> None:
    css = (files("installgen.manual.paper") / "paper.css").read_text("utf-8")
    gap = re.search(r"svg \+ svg \{\s*margin-left: ([\d.]+)mm", css)
    assert gap is not None
    pieces = side_by_side([rendered["raw-water"].svg] * columns, (180.0, 2000.0))
    across = sum(width for width, _ in sizes_mm("".join(pieces)))
    assert across + float(gap[1]) * (columns - 1) <= 180.05


def test_a_drawing_below_a_title_leaves_room_for_it_or_comes_after_its_tables(
    rendered: dict[str, Rendered],
) -> None:
    after = []
    for name, one in rendered.items():
        if name in ("start-circuit", "hostile"):
            continue
        figure = paper_figure(one, A4, opening=True)
        tables = figure.index('class="drawing-tables"')
        if tables < figure.index('<div class="drawing-'):
            after.append(name)
        else:
            assert max(height for _, height in sizes_mm(figure)) <= 250 - 60 + 0.01, name
            if not one.paper.turned and "drawing-columns" not in figure:
                width = sizes_mm(figure)[0][0]
                assert 9.0 * width / (one.width_px * 25.4 / 96) >= LEAST_TEXT_PT - 0.01, name
    assert len(after) < len(rendered) - 2
