"""Threads by their standards."""

import re
from dataclasses import dataclass, field
from typing import ClassVar, Literal, Self

from installgen.units import grammar
from installgen.units.problem import UnitProblem, quoted
from installgen.units.quantity import TradeSize

ThreadStandard = Literal[
    "NPT", "NPTF", "BSPP", "BSPT", "metric", "UN", "UNC", "UNF", "UNEF", "UNS", "JIC", "ORB", "ORFS"
]
_STANDARD_WORDS: dict[str, ThreadStandard] = {
    "NPT": "NPT",
    "NPTF": "NPTF",
    "BSPP": "BSPP",
    "G": "BSPP",
    "BSPT": "BSPT",
    "R": "BSPT",
    "RC": "BSPT",
    "UN": "UN",
    "UNC": "UNC",
    "UNF": "UNF",
    "UNEF": "UNEF",
    "UNS": "UNS",
    "JIC": "JIC",
    "ORB": "ORB",
    "ORFS": "ORFS",
}
# Nominal sizes of ASME B1.20.1 (NPT) and of ISO 228-1 and ISO 7-1 (G, R), up to 4.
_SHARED_SIZES = ("1/16", "1/8", "1/4", "3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2")
_NPT_SIZES = (*_SHARED_SIZES, "2-1/2", "3", "3-1/2", "4")
_BSP_SIZES = (*_NPT_SIZES, "5/8", "7/8", "1-1/8", "1-3/4", "2-1/4", "2-3/4")
_PIPE_SIZES = {"NPT": _NPT_SIZES, "NPTF": _NPT_SIZES, "BSPP": _BSP_SIZES, "BSPT": _BSP_SIZES}

_INCHES = r"(?P<size>[0-9]+[- ][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+)\s*(?:in|\")?"
_PIPE = re.compile(rf"{_INCHES}\s*(?P<standard>NPTF?|BSPP|BSPT)", re.IGNORECASE)
_PIPE_ISO = re.compile(rf"(?P<standard>G|Rc|R)\s*{_INCHES}")
_METRIC = re.compile(r"M ?(?P<size>[0-9]+)(?:\s*[xX×]\s*(?P<pitch>[0-9]+(?:\.[0-9]+)?))?")
_UNIFIED = re.compile(
    r"(?P<size>#[0-9]+|[0-9]+[- ][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+)\s*(?:in|\")?-(?P<tpi>[0-9]+)"
    r"\s*(?P<standard>UNEF|UNC|UNF|UNS|UN|JIC|ORB|ORFS)(?:-?[123][AB])?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class ThreadSize(TradeSize):
    """A thread by its standard; the nominal size is a name, not a bore.

    standard: `NPT`, `BSPP`, `metric`, `UN`, `JIC` …
    nominal: the size's name as tables of that standard list it: `1/2`, `M22x1.5`, `7/8-14`
    text: as the person wrote it; not part of equality
    """

    standard: ThreadStandard
    nominal: str
    text: str = field(default="", compare=False, kw_only=True)

    NAME = "a thread size"
    EXAMPLES: ClassVar[tuple[str, ...]] = (
        "1/2 NPT",
        "G 3/4",
        "3/4 BSPP",
        "M22x1.5",
        "1-5/16-12 UN",
        "7/8-14 JIC",
    )

    @classmethod
    def expected(cls) -> str:
        *most, last = cls.EXAMPLES
        return f"a thread with its standard, such as {', '.join(most)} or {last}"

    @classmethod
    def parse(cls, text: str) -> Self:
        plain = grammar.normal_text(text) if len(text) <= grammar.LONGEST else ""
        if match := _PIPE.fullmatch(plain) or _PIPE_ISO.fullmatch(plain):
            return cls._pipe(match, text)
        if match := _METRIC.fullmatch(plain):
            pitch = f"x{float(match['pitch']):g}" if match["pitch"] else ""
            return cls("metric", f"M{int(match['size'])}{pitch}", text=text.strip())
        if match := _UNIFIED.fullmatch(plain):
            standard = _STANDARD_WORDS[match["standard"].upper()]
            size = match["size"].replace(" ", "-")
            return cls(standard, f"{size}-{match['tpi']}", text=text.strip())
        if not plain:
            found = f"a text of {len(text)} characters" if text.strip() else "nothing"
            raise UnitProblem(found, cls.expected())
        bare = re.fullmatch(rf"{_INCHES}(?:-[0-9]+)?", plain)
        missing = ", a size without its thread standard" if bare else ""
        raise UnitProblem(quoted(text) + missing, cls.expected())

    @classmethod
    def _pipe(cls, match: re.Match[str], text: str) -> Self:
        standard = _STANDARD_WORDS[match["standard"].upper()]
        size = match["size"].replace(" ", "-")
        if size not in _PIPE_SIZES[standard]:
            sizes = ", ".join(_PIPE_SIZES[standard])
            raise UnitProblem(
                f"{quoted(text)}, a size that {standard} does not have", f"one of {sizes}"
            )
        return cls(standard, size, text=text.strip())

    @property
    def designation(self) -> str:
        """The full name in one spelling: `1/2 NPT`, `G 3/4`, `M22×1.5`, `7/8-14 JIC`."""
        if self.standard == "metric":
            return self.nominal.replace("x", "×")
        letter = {"BSPP": "G", "BSPT": "R"}.get(self.standard)
        return f"{letter} {self.nominal}" if letter else f"{self.nominal} {self.standard}"

    def __str__(self) -> str:
        return self.designation.replace(" ", "\N{NO-BREAK SPACE}")
