"""Conductor sizes of three lists that are never converted into one another."""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import ClassVar, Literal, Self

from installgen.units import grammar
from installgen.units.problem import UnitProblem, either, quoted
from installgen.units.quantity import TradeSize

ConductorSystem = Literal["AWG", "SAE", "mm2"]

_GAUGE = r"(?P<gauge>[0-9]{1,2}/0|0{1,4}|[0-9]{1,2})"
_GAUGE_FIRST = re.compile(rf"#?{_GAUGE}\s*(?P<system>AWG|SAE)", re.IGNORECASE)
_SYSTEM_FIRST = re.compile(rf"(?P<system>AWG|SAE)\s*#?{_GAUGE}", re.IGNORECASE)
_SECTION = re.compile(r"(?P<area>[0-9]+(?:\.[0-9]+)?|\.[0-9]+)\s*(?:mm\^?2|sq\.? ?mm)")
_BARE = re.compile(rf"#?{_GAUGE}(?:\s*(?:ga|gauge|gage))?|[0-9]+(?:\.[0-9]+)?", re.IGNORECASE)


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
        if re.fullmatch(r"[0-9]+,[0-9]+\s*mm\^?2", plain):
            instead = plain.replace(",", ".")
            return UnitProblem(f"{quoted(text)}, a decimal comma", cls.expected(), either(instead))
        if _BARE.fullmatch(plain):
            number = re.sub(r"[^0-9./]", "", plain)
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
