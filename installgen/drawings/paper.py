"""Whether a drawing can be read on paper and on a telephone."""

from dataclasses import dataclass

from installgen.drawings.labels import TEXT_SIZE

LEAST_SCREEN_TEXT_PX = 11.0
LEAST_PRINT_TEXT_PT = 6.5
POINT_PER_MM = 72 / 25.4
POINT_PER_PX = 0.75
UPRIGHT_MM = (180.0, 250.0)
TURNED_MM = (267.0, 165.0)


@dataclass(frozen=True)
class Paper:
    """The room for a drawing on a sheet of paper: width and height [mm]."""

    upright_mm: tuple[float, float] = UPRIGHT_MM
    turned_mm: tuple[float, float] = TURNED_MM


A4 = Paper()


@dataclass(frozen=True)
class PaperFit:
    """How a drawing is printed on A4.

    turned: on a page turned sideways
    width_mm: printed width; text_pt: size of its smallest text then
    """

    turned: bool
    width_mm: float
    text_pt: float

    @property
    def readable(self) -> bool:
        """Whether the smallest text is large enough to be read."""
        return self.text_pt >= LEAST_PRINT_TEXT_PT


def fit_on_paper(width_px: float, height_px: float, paper: Paper = A4) -> PaperFit:
    """Upright at its natural size or as near as the page allows; turned if only that can be read.

    width_px, height_px: natural size of the drawing [px]
    Returns the fit; not `readable` when the drawing must be split.
    """
    upright = fit_in(width_px, height_px, paper.upright_mm, turned=False)
    if upright.readable:
        return upright
    turned = fit_in(width_px, height_px, paper.turned_mm, turned=True)
    return turned if turned.text_pt > upright.text_pt else upright


def fit_in(
    width_px: float, height_px: float, room_mm: tuple[float, float], *, turned: bool
) -> PaperFit:
    """The fit in one orientation of the page."""
    natural_mm = width_px * POINT_PER_PX / POINT_PER_MM
    natural_height_mm = height_px * POINT_PER_PX / POINT_PER_MM
    scale = min(1.0, room_mm[0] / natural_mm, room_mm[1] / natural_height_mm)
    return PaperFit(turned, natural_mm * scale, TEXT_SIZE * POINT_PER_PX * scale)


def least_width_px(width_px: float) -> float:
    """The width below which a drawing pans instead of shrinking, so that text stays legible."""
    return width_px * LEAST_SCREEN_TEXT_PX / TEXT_SIZE
