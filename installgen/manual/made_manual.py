"""One vessel analysed, judged, drawn and described, before it is written in any form."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from installgen.analysis.analyse import Analysis, analyse
from installgen.analysis.fault_trees import begin_studies
from installgen.beside import Beside
from installgen.drawings.figure import figure
from installgen.drawings.render import LayoutCache, Rendered
from installgen.drawings.vessel.vessel_drawings import drawings_for, plans_for, rendered_for
from installgen.findings.check import check
from installgen.manual.blocks import Page
from installgen.manual.fault_drawings import rendered_faults
from installgen.manual.page_text import PageTexts
from installgen.manual.pages.all_pages import early_pages, system_pages, vessel_pages
from installgen.manual.pictures import Picture, pictures_of
from installgen.manual.vessel_manual import EarlierManual, VesselManual
from installgen.spec.earlier import Revision
from installgen.spec.vessel import Vessel


@dataclass(frozen=True)
class MadeManual:
    """What a site, a file or a book is written from.

    source: the vessel with her results, findings and sentences
    pages: in the order in which a site lists them
    drawings: by id
    trees: ids of those whose steps are told in words beside them, so that they need no table
    pictures: photographs by their names below `photos/`
    """

    source: VesselManual
    pages: tuple[Page, ...]
    drawings: Mapping[str, Rendered]
    trees: frozenset[str] = frozenset()
    pictures: Mapping[str, Picture] = field(default_factory=dict)

    @property
    def vessel(self) -> Vessel:
        """The resolved vessel."""
        return self.source.vessel

    def figures(self, *, with_paper: bool = True) -> dict[str, str]:
        """HTML of each drawing for a screen, by its id.

        with_paper: whether large drawings also carry their parts for paper
        """
        return {
            name: figure(one, with_tables=name not in self.trees, with_paper=with_paper)
            for name, one in self.drawings.items()
        }


@dataclass(frozen=True)
class BegunManual:
    """One vessel as far as she is known before every fault of her wiring has been followed.

    source: as yet without what can be wrong with her circuits
    drawings: those that tell of no fault
    pages: by kind, those that are not late
    layouts: keeps the layouts of drawings
    wait: until another process has followed the faults, where one does
    """

    source: VesselManual
    drawings: Mapping[str, Rendered]
    pages: Mapping[str, Sequence[Page]]
    layouts: LayoutCache | None
    wait: Callable[[], None] | None

    def finished(self) -> MadeManual:
        """The whole manual, faults and history included."""
        if self.wait is not None:
            self.wait()
        trees = rendered_faults(self.source, self.layouts)
        drawings = {**self.drawings, **trees}
        source = replace(self.source, drawings=frozenset(drawings), studied=self.source.faults)
        pages = vessel_pages(source, self.pages)
        return MadeManual(source, pages, drawings, frozenset(trees), pictures_of(self.vessel))

    def with_late(self, pages: Mapping[str, Sequence[Page]]) -> MadeManual:
        """The manual at once, with pages from elsewhere for the late ones, by their kinds."""
        made = vessel_pages(self.source, {**self.pages, **pages})
        return MadeManual(self.source, made, self.drawings, pictures=pictures_of(self.vessel))

    @property
    def vessel(self) -> Vessel:
        """The resolved vessel."""
        return self.source.vessel


def make_manual(
    vessel: Vessel,
    layouts: LayoutCache | None = None,
    earlier: Sequence[EarlierManual] = (),
    *,
    thorough: bool = True,
) -> MadeManual:
    """Compute, judge, draw and describe a vessel; see `begin_manual`."""
    return begin_manual(vessel, layouts, earlier, thorough=thorough).finished()


def begin_manual(
    vessel: Vessel,
    layouts: LayoutCache | None = None,
    earlier: Sequence[EarlierManual] = (),
    *,
    thorough: bool = True,
    beside: Beside | None = None,
) -> BegunManual:
    """Compute, judge, draw and describe a vessel, but for what can be wrong with her wiring.

    layouts: keeps the layouts of drawings from one making to the next
    earlier: the manuals of her revisions before this one, the latest first
    thorough: whether the pages to swap from one revision to the next are found, and what would
        clear a finding
    beside: a process that follows the faults of the wiring meanwhile
    """
    analysis = analyse(vessel)
    wait = begin_studies(analysis.dc, beside) if beside and analysis.dc else None
    drawings = rendered_for(analysis, layouts)
    source = VesselManual(
        analysis,
        check(analysis, cures=thorough),
        frozenset(drawings),
        drawn=_drawn(analysis) if earlier and thorough else {},
        earlier=tuple(earlier),
        thorough=thorough,
    )
    return BegunManual(source, drawings, early_pages(source), layouts, wait)


def earlier_manual(revision: Revision) -> EarlierManual:
    """The pages of an earlier revision, to be compared; nothing is drawn for them."""
    analysis = analyse(revision.vessel)
    drawn = _drawn(analysis)
    m = VesselManual(analysis, check(analysis, cures=False), frozenset(drawn), drawn=drawn)
    pages = system_pages(m)
    texts = PageTexts(m, pages)
    return EarlierManual(m, pages, {page.id: texts.of(page) for page in pages}, revision.kept)


def _drawn(analysis: Analysis) -> dict[str, object]:
    """What each drawing says, by its id."""
    plans = {name: plan.drawing for name, plan in plans_for(analysis).items()}
    return {**drawings_for(analysis), **plans}
