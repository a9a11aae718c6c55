"""Discrete sizes of the trade: conductors and threads. Never converted into one another."""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import ClassVar, Literal, Self

from installgen.units import grammar
from installgen.units.problem import UnitProblem, either, quoted
from installgen.units.quantity import TradeSize

ConductorSystem = Literal["AWG", "SAE", "mm2"]

_GAUGE = r"(?P<gauge>\d{1,2}/0|0{1,4}|\d{1,2})"
_GAUGE_FIRST = re.compile(rf"#?{_GAUGE}\s*(?P<system>AWG|SAE)", re.IGNORECASE)
_SYSTEM_FIRST = re.compile(rf"(?P<system>AWG|SAE)\s*#?{_GAUGE}", re.IGNORECASE)
_SECTION = re.compile(r"(?P<area>\d+(?:\.\d+)?|\.\d+)\s*(?:mm\^?2|sq\.? ?mm)")
_BARE = re.compile(rf"#?{_GAUGE}(?:\s*(?:ga|gauge|gage))?|\d+(?:\.\d+)?", re.IGNORECASE)


@dataclass(frozen=True)
class ConductorSize(TradeSize):
    """One entry of one of the three lists of conductors.

    system: which list: `AWG`, `SAE` or `mm2`
    designation: the name in that list: `2/0`, `4`, `70`, `2.5`
    text: as the person wrote it; not part of equality
    """

    system: ConductorSystem
    designation: str
    text: str = field(default="", compare=False, kw_only=True)

    NAME = "a conductor size"
    EXAMPLES: ClassVar[tuple[str, ...]] = ("2/0 AWG", "10 SAE", "70 mm²", "2.5 mm2")

    @classmethod
    def expected(cls) -> str:
        return (
            "a conductor size that names its list, such as 2/0 AWG, 10 SAE or 70 mm² "
            "(the three lists differ)"
        )

    @classmethod
    def parse(cls, text: str) -> Self:
        plain = grammar.normal_text(text) if len(text) <= grammar.LONGEST else ""
        if match := _GAUGE_FIRST.fullmatch(plain) or _SYSTEM_FIRST.fullmatch(plain):
            system: ConductorSystem = "AWG" if match["system"].upper() == "AWG" else "SAE"
            return cls(system, cls._gauge(match["gauge"], text), text=text.strip())
        if (match := _SECTION.fullmatch(plain)) and Fraction(match["area"]):
            area = Fraction(match["area"])
            return cls("mm2", f"{float(area):.12g}", text=text.strip())
        raise cls._problem(plain, text)

    @classmethod
    def _gauge(cls, written: str, text: str) -> str:
        if set(written) == {"0"}:
            return f"{len(written)}/0"
        if written.endswith("/0"):
            if not 1 <= int(written[:-2]) <= 4:
                raise UnitProblem(f"{quoted(text)}, a gauge beyond 4/0", cls.expected())
            return f"{int(written[:-2])}/0"
        if int(written) > 40:
            raise UnitProblem(f"{quoted(text)}, a gauge beyond 40", cls.expected())
        return str(int(written))

    @classmethod
    def _problem(cls, plain: str, text: str) -> UnitProblem:
        if re.fullmatch(r"\d+,\d+\s*mm\^?2", plain):
            instead = plain.replace(",", ".")
            return UnitProblem(f"{quoted(text)}, a decimal comma", cls.expected(), either(instead))
        if _BARE.fullmatch(plain):
            number = re.sub(r"[^\d./]", "", plain)
            choices = [f"{number} AWG", f"{number} SAE"]
            if "/" not in number:
                choices.append(f"{number} mm²")
            if "." in number:
                choices = choices[2:]
            found = f"{quoted(text)}, a size without its list"
            return UnitProblem(found, cls.expected(), either(*choices))
        found = (
            quoted(text) if len(text) <= grammar.LONGEST else f"a text of {len(text)} characters"
        )
        return UnitProblem(found if plain or text.strip() else "nothing", cls.expected())

    @property
    def gauge(self) -> int | None:
        """The gauge number for the AWG formula: 0 for 1/0, -1 for 2/0, -3 for 4/0; None for mm²."""
        if self.system == "mm2":
            return None
        if self.designation.endswith("/0"):
            return 1 - int(self.designation[:-2])
        return int(self.designation)

    @property
    def area_mm2(self) -> float | None:
        """The nominal section [mm2] that the name states; None for a gauge, which states none."""
        return float(self.designation) if self.system == "mm2" else None

    def __str__(self) -> str:
        unit = "mm²" if self.system == "mm2" else self.system
        return f"{self.designation}\N{NO-BREAK SPACE}{unit}"


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

_INCHES = r"(?P<size>\d+[- ]\d+/\d+|\d+/\d+|\d+)\s*(?:in|\")?"
_PIPE = re.compile(rf"{_INCHES}\s*(?P<standard>NPTF?|BSPP|BSPT)", re.IGNORECASE)
_PIPE_ISO = re.compile(rf"(?P<standard>G|Rc|R)\s*{_INCHES}")
_METRIC = re.compile(r"M\s*(?P<size>\d+(?:\.\d+)?)(?:\s*[x×]\s*(?P<pitch>\d+(?:\.\d+)?))?", re.I)
_UNIFIED = re.compile(
    r"(?P<size>#\d+|\d+[- ]\d+/\d+|\d+/\d+|\d+)\s*(?:in|\")?-(?P<tpi>\d+)"
    r"\s*(?P<standard>UNEF|UNC|UNF|UNS|UN|JIC|ORB|ORFS)(?:-?[123][AB])?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class ThreadSize(TradeSize):
    """A thread by its standard; the nominal size is a name, not a bore.

    standard: `NPT`, `BSPP`, `metric`, `UN`, `JIC` …
    designation: the full name in one spelling: `1/2 NPT`, `G 3/4`, `M22×1.5`, `7/8-14 JIC`
    text: as the person wrote it; not part of equality
    """

    standard: ThreadStandard
    designation: str
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
            pitch = f"×{float(match['pitch']):g}" if match["pitch"] else ""
            return cls("metric", f"M{float(match['size']):g}{pitch}", text=text.strip())
        if match := _UNIFIED.fullmatch(plain):
            standard = _STANDARD_WORDS[match["standard"].upper()]
            size = match["size"].replace(" ", "-")
            return cls(standard, f"{size}-{match['tpi']} {standard}", text=text.strip())
        if not plain:
            found = f"a text of {len(text)} characters" if text.strip() else "nothing"
            raise UnitProblem(found, cls.expected())
        bare = re.fullmatch(rf"{_INCHES}(?:-\d+)?", plain)
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
        name = {"BSPP": f"G {size}", "BSPT": f"R {size}"}.get(standard, f"{size} {standard}")
        return cls(standard, name, text=text.strip())

    def __str__(self) -> str:
        return self.designation.replace(" ", "\N{NO-BREAK SPACE}")
