"""The ends of hoses, coolers, pumps and fittings, and how a hose may sit on a spigot."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from installgen.calc.ranges import more_than_zero, zero_or_more
from installgen.errors import OutOfRange
from installgen.tables.hoses import hose_clearances


class EndKind(StrEnum):
    """Kinds of ends of hoses, coolers, pumps and fittings."""

    HOSE = "hose"
    HOSE_SPIGOT = "hose spigot"
    NPT = "NPT"
    BSPP = "BSPP"
    BSPT = "BSPT"
    UNF = "UNF"
    JIC = "37° flare"
    METRIC = "metric thread"
    FLANGE = "flange"
    FLAT_FACE = "flat face"


class Gender(StrEnum):
    """Of a threaded end."""

    MALE = "male"
    FEMALE = "female"

    @property
    def opposite(self) -> Gender:
        """The one that goes with it."""
        return Gender.FEMALE if self is Gender.MALE else Gender.MALE


_THREADS = frozenset(
    {EndKind.NPT, EndKind.BSPP, EndKind.BSPT, EndKind.UNF, EndKind.JIC, EndKind.METRIC}
)
PIPE_THREADS = frozenset({EndKind.NPT, EndKind.BSPP, EndKind.BSPT})


@dataclass(frozen=True)
class End:
    """One end of a piece.

    kind: of the end
    size: as the trade writes it: `1-3/4 in`, `1/2`, `M22x1.5`, `-6`, `2 PN 16`
    diameter_mm: of a hose its bore; of a spigot its outside, or the hose it is made for [mm]
    gender: of a threaded end
    thread: thread designation where `size` is another name for it, such as 9/16-18 for -6
    bore_mm: clear bore through the end, none where nobody knows it [mm]
    Raises OutOfRange for a hose or spigot without diameter, a thread without gender.
    """

    kind: EndKind
    size: str
    diameter_mm: float | None = None
    gender: Gender | None = None
    thread: str = ""
    bore_mm: float | None = None

    def __post_init__(self) -> None:
        if self.kind in (EndKind.HOSE, EndKind.HOSE_SPIGOT):
            if self.diameter_mm is None:
                raise OutOfRange(f"the diameter of a {self.kind}", "not given", "a diameter in mm")
            more_than_zero(f"the diameter of a {self.kind}", self.diameter_mm, "mm")
        if self.threaded and self.gender is None:
            raise OutOfRange(f"the gender of the {self.kind} end", "not given", "male or female")
        if self.bore_mm is not None:
            more_than_zero("the bore of an end", self.bore_mm, "mm")

    @property
    def threaded(self) -> bool:
        """Whether it is a thread of any kind."""
        return self.kind in _THREADS

    @property
    def clear_bore_mm(self) -> float | None:
        """Bore that the liquid sees; a hose's own, otherwise only what is stated [mm]."""
        return self.diameter_mm if self.kind is EndKind.HOSE else self.bore_mm

    @property
    def name(self) -> str:
        """As the trade would ask for it."""
        words = [self.size]
        if self.threaded or self.kind is not EndKind.HOSE:
            words.append("spigot" if self.kind is EndKind.HOSE_SPIGOT else str(self.kind))
        if self.gender is not None:
            words.append(str(self.gender))
        return " ".join(words)


@dataclass(frozen=True)
class ClearanceBand:
    """How loose a hose may be on spigots up to a size.

    spigot_up_to_mm: largest spigot of the band, none in the last [mm]
    clearance_max_mm: largest excess of the hose's bore [mm]
    """

    spigot_up_to_mm: float | None
    clearance_max_mm: float


@dataclass(frozen=True)
class HoseLimits:
    """How loose and how tight a hose may sit.

    clearances: bands in rising order, the last without an upper end
    stretch_max_ratio: how far the hose may be stretched over the spigot, of its bore [-]
    Raises OutOfRange when the last band has an end or the stretch is negative.
    """

    clearances: tuple[ClearanceBand, ...]
    stretch_max_ratio: float

    def __post_init__(self) -> None:
        if not self.clearances or self.clearances[-1].spigot_up_to_mm is not None:
            raise OutOfRange("the last band of hose clearance", "ended", "one without upper end")
        zero_or_more("the hose stretch", self.stretch_max_ratio, "")

    def clearance_max_mm(self, spigot_mm: float) -> float:
        """Largest excess of bore over a spigot.

        spigot_mm: outside diameter of the spigot [mm]
        Returns the clearance [mm].
        """
        for band in self.clearances:
            if band.spigot_up_to_mm is None or spigot_mm <= band.spigot_up_to_mm:
                return band.clearance_max_mm
        raise OutOfRange("the spigot", f"{spigot_mm:g} mm", "a size in the bands of clearance")


def published_hose_limits(stretch_max_ratio: float) -> HoseLimits:
    """Limits of looseness as published for fuel hoses, with the yard's limit of stretch.

    stretch_max_ratio: how far the hose may be stretched over the spigot, of its bore [-]
    Returns the limits. Raises OutOfRange.
    Source: 33 CFR 183.558(d), table 8, whose figures are recalled; see table `hose_clearance`.
    """
    rows = hose_clearances().rows
    bands = tuple(ClearanceBand(row.spigot_up_to_mm, row.clearance_max_mm) for row in rows)
    return HoseLimits(bands, stretch_max_ratio)
