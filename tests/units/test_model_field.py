"""Quantities as fields of a pydantic model: values, errors, schema."""

import re
from typing import Any

import pytest
from pydantic import BaseModel, ConfigDict, ValidationError

from installgen.units import (
    QUANTITIES,
    ConductorSize,
    Fraction,
    GearRatio,
    Length,
    Pressure,
    ThreadSize,
)


class Hose(BaseModel):
    model_config = ConfigDict(frozen=True)

    length: Length
    pressure: Pressure | None = None
    size: ConductorSize | None = None


def errors_of(**values: object) -> list[Any]:
    with pytest.raises(ValidationError) as raised:
        Hose.model_validate(values)
    return raised.value.errors()


def test_texts_become_quantities() -> None:
    hose = Hose.model_validate({"length": "1.8 m", "pressure": "2 bar gauge", "size": "2/0 AWG"})
    assert hose.length == Length(1.8)
    assert hose.pressure == Pressure(2e5, "gauge")
    assert hose.size == ConductorSize("AWG", "2/0")
    assert Hose(length=Length(1.8)).length.m == 1.8


def test_errors_carry_what_the_model_layer_prints() -> None:
    (error,) = errors_of(length="1,5 m")
    assert error["type"] == "installgen_unit"
    assert error["loc"] == ("length",)
    assert error["ctx"]["found"] == "`1,5 m`, a decimal comma"
    assert error["ctx"]["expected"].startswith("a length such as")
    assert error["ctx"]["instead"] == "`1.5 m`"


@pytest.mark.parametrize(
    ("value", "found"),
    [
        (1.8, "`1.8`, a number without a unit"),
        (12, "`12`, a number without a unit"),
        (True, "`true`"),
        (None, "nothing"),
        ({"a": 1}, "a mapping"),
        ([1], "a list"),
        ("", "nothing"),
        ("{found}", "`{found}`, no number"),
    ],
)
def test_values_of_other_types(value: object, found: str) -> None:
    (error,) = errors_of(length=value)
    assert error["ctx"]["found"] == found


def test_a_model_is_written_out_as_text_and_read_again() -> None:
    hose = Hose.model_validate({"length": "1-3/4 in", "size": "70 mm2"})
    assert Hose.model_validate_json(hose.model_dump_json()) == hose
    computed = Hose(length=Length(0.0445))
    assert Hose.model_validate_json(computed.model_dump_json()) == computed


@pytest.mark.parametrize("kind", [*QUANTITIES.values(), ConductorSize, ThreadSize])
def test_schema_helps_an_editor(kind: Any) -> None:
    class Model(BaseModel):
        value: kind

    schema = Model.model_json_schema()["properties"]["value"]
    assert schema["type"] == "string"
    assert len(schema["description"]) > 20
    assert schema["examples"]
    for example in schema["examples"]:
        assert Model.model_validate({"value": example}).value.text == example
        assert re.search(schema.get("pattern", ""), example)


def test_the_pattern_lets_every_way_of_writing_through() -> None:
    for text in ("1-3/4 in", "−450 mm", "½ in", ".5 m", "5 ft 11 in", "70 mm2", "- 3 m"):
        assert re.search(Length.PATTERN, text)
    assert re.search(GearRatio.PATTERN, "2.53:1")
    assert re.search(Fraction.PATTERN, "80 %")
    assert not re.search(Length.PATTERN, "1.8")
    assert not re.search(Length.PATTERN, "long")
