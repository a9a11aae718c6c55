"""Splits what a person wrote into exact numbers and unit symbols; knows no unit's meaning."""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from installgen.units.problem import UnitProblem, either, quoted

LONGEST = 80
"""Characters; no value with a unit is longer."""

LARGEST = 10**12
"""No figure of a boat is larger in any unit that the trade writes it in."""

_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_LOOKALIKES = str.maketrans(
    {"−": "-", "–": "-", "‑": "-", "º": "°", "˚": "°", "⁄": "/", "″": '"', "′": "'"}
)

_MIXED = re.compile(r"(?P<whole>[0-9]+)(?:\s*-\s*|\s+)(?P<above>[0-9]+)\s*/\s*(?P<below>[0-9]+)")
_FRACTION = re.compile(r"(?P<above>[0-9]+)\s*/\s*(?P<below>[0-9]+)")
_DECIMAL = re.compile(r"[0-9]+\.[0-9]+|[0-9]+|\.[0-9]+")
_NOT_A_NUMBER = re.compile(r"[+-]?\.?(?:nan|inf|infinity|∞)\b", re.IGNORECASE)
_COMMA = re.compile(r"(?P<before>[0-9]+),(?P<after>[0-9]+)(?P<more>[.,0-9]*)(?P<unit>.*)")
_GAPS = re.compile(r"(?P<digits>[0-9]{1,3}(?:[ '_][0-9]{3})+)(?P<unit>(?:\.[0-9]+)?\s*[^0-9].*|$)")


@dataclass(frozen=True)
class Part:
    """One number with its unit symbol, such as 7/4 and `in`; the symbol may be empty."""

    number: Fraction
    symbol: str


def normal_text(text: str) -> str:
    """The text in plain signs: straight minus, `1/2` for ½, ordinary spaces, `m2` for m²."""
    for sign, plain in _VULGAR.items():
        text = re.sub(rf"(?<=[0-9])\s*{sign}", f" {plain}", text).replace(sign, plain)
    text = unicodedata.normalize("NFKC", text.translate(_LOOKALIKES)).translate(_LOOKALIKES)
    return " ".join(text.split())


def normal_symbol(symbol: str) -> str:
    """A unit symbol in one spelling: `u` for µ, `ohm` for Ω, a space where units multiply."""
    symbol = symbol.replace("μ", "u").replace("Ω", "ohm")
    symbol = re.sub(r"\*\*|\^", "", symbol)
    symbol = re.sub(r"\s*[·⋅∙*]\s*", " ", symbol)
    symbol = re.sub(r"\s*/\s*", "/", symbol)
    symbol = re.sub(r"°\s+", "°", symbol)
    return symbol.strip()


def split(text: str, expected: str, pairs: tuple[tuple[str, str], ...] = ()) -> list[Part]:
    """The parts of a written value: nearly always one; two for a pair such as `5 ft 11 in`.

    expected: for the message, what the field may hold
    pairs: the unit symbols that may stand in a row, larger first
    Raises UnitProblem.
    """
    if len(text) > LONGEST:
        raise UnitProblem(f"a text of {len(text)} characters", expected)
    plain = normal_text(text)
    _refuse_what_looks_like_a_number(plain, text, expected)
    sign, rest = _sign(plain)
    number, rest = _number(rest, text, expected)
    first, second = _pair(rest, pairs)
    if second:
        small, symbol = _number(second, text, expected)
        return [Part(sign * number, first), Part(sign * small, normal_symbol(symbol))]
    return [Part(sign * number, normal_symbol(rest))]


def _refuse_what_looks_like_a_number(plain: str, text: str, expected: str) -> None:
    if not plain:
        raise UnitProblem("nothing", expected)
    if _NOT_A_NUMBER.match(plain):
        raise UnitProblem(f"{quoted(text)}, which is not a finite number", expected)
    body = plain.lstrip("+- ")
    sign = "-" if plain.startswith("-") else ""
    if comma := _COMMA.match(body):
        _refuse_comma(comma, sign, text, expected)
    if gaps := _GAPS.match(body):
        whole = sign + re.sub(r"[ '_]", "", gaps["digits"]) + gaps["unit"]
        raise UnitProblem(f"{quoted(text)}, digits in groups", expected, either(whole))
    if re.match(r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)[eE][+-]?[0-9]", body):
        raise UnitProblem(
            f"{quoted(text)}, a power of ten", f"{expected}, with the number written out"
        )
    if re.match(r"[0-9]+(?:\.[0-9]+)?\s*(?:-|\.\.+|…|to\b)\s*[0-9]", body) and not _MIXED.match(
        body
    ):
        raise UnitProblem(f"{quoted(text)}, a range or a date", f"one value: {expected}")
    if re.match(r"[0-9]+:[0-9]", body):
        raise UnitProblem(f"{quoted(text)}, a ratio or a clock time", expected)


def _refuse_comma(comma: re.Match[str], sign: str, text: str, expected: str) -> None:
    before, after, more, unit = comma.group("before", "after", "more", "unit")
    decimal, whole = f"{sign}{before}.{after}{unit}", f"{sign}{before}{after}{unit}"
    if more:
        raise UnitProblem(f"{quoted(text)}, a number with commas", expected)
    if len(after) == 3:
        found = f"{quoted(text)}, where the comma may mark decimals or thousands"
        raise UnitProblem(found, expected, either(decimal, whole))
    raise UnitProblem(f"{quoted(text)}, a decimal comma", expected, either(decimal))


def _sign(plain: str) -> tuple[int, str]:
    if plain[0] in "+-":
        return (-1 if plain[0] == "-" else 1), plain[1:].lstrip()
    return 1, plain


def _number(plain: str, text: str, expected: str) -> tuple[Fraction, str]:
    """The number that the text begins with, and what follows it."""
    for pattern in (_MIXED, _FRACTION, _DECIMAL):
        if match := pattern.match(plain):
            rest = plain[match.end() :].lstrip()
            if rest and rest[0] in "0123456789.,/":
                break
            number = _value(match, text, expected)
            if number >= LARGEST:
                raise UnitProblem(f"{quoted(text)}, far too large a number", expected)
            return number, rest
    what = "no number" if not re.search(r"[0-9]", plain) else "a number that cannot be read"
    raise UnitProblem(f"{quoted(text)}, {what}", expected)


def _value(match: re.Match[str], text: str, expected: str) -> Fraction:
    groups = match.groupdict()
    if "below" not in groups:
        return Fraction(match[0])
    if int(groups["below"]) == 0:
        raise UnitProblem(f"{quoted(text)}, a fraction with nothing below its line", expected)
    part = Fraction(int(groups["above"]), int(groups["below"]))
    if "whole" not in groups:
        return part
    if part >= 1:
        raise UnitProblem(f"{quoted(text)}, a whole number with more than a fraction", expected)
    return int(groups["whole"]) + part


def _pair(rest: str, pairs: tuple[tuple[str, str], ...]) -> tuple[str, str]:
    """`ft 11 in` as `ft` and `11 in` where that pair is allowed, else nothing for the second."""
    for larger, smaller in pairs:
        match = re.fullmatch(rf"({re.escape(larger)})\s*([0-9].*?\s*{re.escape(smaller)})", rest)
        if match:
            return match[1], match[2]
    return rest, ""
