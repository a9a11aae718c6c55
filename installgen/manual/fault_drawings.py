"""A fault tree drawn, for a wall or a clipboard: a few questions on each sheet.

The numbers are those of the steps; what goes on on another sheet says on which step.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from installgen.analysis.fault_tree import Answer, Branch, FaultTree, Leaf
from installgen.analysis.fault_trees import EngineFaults
from installgen.drawings.graph import Drawing
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.render import LayoutCache, Rendered, render
from installgen.drawings.vessel.draft import Draft
from installgen.drawings.vessel.links import href
from installgen.manual.blocks import Target
from installgen.manual.pages.fault_finding import symptom_page, symptom_slug
from installgen.manual.pages.fault_screens import TreeScreens, step_anchor
from installgen.manual.pages.fault_words import short_name, suspects_by_thing
from installgen.manual.pages.reading_words import answer_lines, band_text, rank
from installgen.manual.vessel_manual import VesselManual

MOST_BOXES = 13
"""On one sheet: more would be wider than a page."""

MOST_NAMED = 3
"""Things that a box at an end names."""


def rendered_faults(m: VesselManual, cache: LayoutCache | None = None) -> dict[str, Rendered]:
    """The sheets of every tree, by id: `fault-clicks.01`."""
    drawn = render(list(fault_drawings(m)), cache)
    return {one.drawing.id: one for one in drawn}


def fault_drawings(m: VesselManual) -> Iterator[Drawing]:
    """Every tree that asks anything, on as many sheets as it needs."""
    for faults in m.faults:
        for tree in faults.trees.values():
            if isinstance(tree.root, Branch):
                yield from _TreeSheets(m, faults, tree).sheets()


@dataclass
class _TreeSheets:
    """The sheets of one tree."""

    m: VesselManual
    faults: EngineFaults
    tree: FaultTree
    page: str = field(init=False)
    number: dict[int, int] = field(init=False)

    def __post_init__(self) -> None:
        engine = self.m.vessel.engine(self.faults.study.engine)
        self.page = symptom_page(self.m, engine.name, symptom_slug(self.tree.symptom))
        self.number = TreeScreens(self.m, self.faults, self.tree, self.page).number

    def sheets(self) -> Iterator[Drawing]:
        """From the first question on; each sheet begins where an earlier one goes on."""
        waiting: list[Branch | Leaf] = [self.tree.root]
        begun = {id(self.tree.root)}
        for sheet, start in enumerate(waiting, start=1):
            drawn, open_ends = self._fill(start)
            yield self._drawing(sheet, start, drawn)
            for place in open_ends:
                if id(place) not in begun:
                    begun.add(id(place))
                    waiting.append(place)

    def _fill(self, start: Branch | Leaf) -> tuple[list[Branch], list[Branch]]:
        """The questions of one sheet, and those that it leads to on others."""
        boxes = {id(start)}
        asked: list[Branch] = []
        open_ends: list[Branch] = []
        queue = [start]
        for place in queue:
            if not isinstance(place, Branch) or place in asked:
                continue
            new = {id(where) for _, where in place.answers} - boxes
            if asked and len(boxes | new) > MOST_BOXES:
                open_ends.append(place)
                continue
            asked.append(place)
            boxes |= new
            queue += [where for _, where in place.answers]
        return asked, open_ends

    def _drawing(self, sheet: int, start: Branch | Leaf, asked: list[Branch]) -> Drawing:
        draft = Draft(text_width_px=128, label_width_px=84)
        for place in asked:
            self._box(draft, place, asked)
            for _, where in place.answers:
                self._box(draft, where, asked)
        for place in asked:
            for answers, where in sorted(place.answers, key=lambda item: rank(item[0])):
                good = Answer.EXPECTED in answers
                draft.edge(
                    self._name(place),
                    self._name(where),
                    Line.FLOW if good else Line.CONDUCTOR,
                    lines=answer_lines(self.m, place.question, answers),
                )
        title = self.m.choice("symptoms", symptom_slug(self.tree.symptom))
        return draft.drawing(
            f"{self.page}.{sheet:02d}",
            self.m.text("faults.drawn_title", symptom=title, step=str(self.number[id(start)])),
            self.m.text("faults.drawn_text"),
            top=(self._name(start),),
            line_words={
                Line.FLOW: self.m.text("faults.drawn_good"),
                Line.CONDUCTOR: self.m.text("faults.drawn_other"),
            },
        )

    def _name(self, place: Branch | Leaf) -> str:
        return f"step-{self.number[id(place)]}"

    def _box(self, draft: Draft, place: Branch | Leaf, asked: list[Branch]) -> None:
        name = self._name(place)
        if draft.has(name):
            return
        number = self.number[id(place)]
        address = href(Target(self.page, step_anchor(number)))
        if isinstance(place, Leaf):
            things = [thing for thing, _ in suspects_by_thing(place.suspects)]
            named = [short_name(self.m, self.faults.study, thing) for thing in things]
            more = len(named) - MOST_NAMED
            rest = [self.m.text("faults.drawn_more", count=str(more))] if more > 0 else []
            lines = [*named[1:MOST_NAMED], *rest]
            draft.node(name, Kind.SUSPECT, named[0], str(number), lines, href=address)
        elif place in asked:
            question = place.question
            state = self.m.text(f"fault-states.{question.case.state(self.faults.study.engine).key}")
            lines = [state, band_text(self.m, question.accepted_v)]
            point = self._point(question.node)
            draft.node(name, Kind.READING, point, str(number), lines, href=address)
        else:
            text = self.m.text("faults.drawn_on")
            draft.node(name, Kind.CONTINUES, text, str(number), href=address)

    def _point(self, node: str) -> str:
        device_id, _, terminal = node.rpartition(".")
        if device_id not in self.m.devices:
            return self.m.text("phrases.block_of", engine=self.m.text("engine.only"))
        device, _ = self.m.devices[device_id]
        return f"{device.code or device.title} · {terminal}"
