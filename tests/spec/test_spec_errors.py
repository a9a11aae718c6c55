"""Every mistake a person makes in a spec has one clear message, exactly this one."""

from pathlib import Path

import pytest

from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.load import SpecLibrary
from installgen.spec.problems import DoubleName
from tests.spec.spec_cases import CASES, SpecCase


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_message(case: SpecCase, tmp_path: Path) -> None:
    assert case.about, "say what the mistake is"
    library = SpecLibrary.at(case.write(tmp_path))
    if not case.expected:
        assert [vessel.id for vessel in library.vessels()] == ["tern"]
        return
    with pytest.raises(SpecErrors) as raised:
        library.vessels()
    assert str(raised.value).splitlines() == list(case.expected)


def test_problems_of_different_kinds_stand_in_one_order() -> None:
    where = Position("specs/vessels/wend.yaml", 3, 5)
    plain = Problem(where, "vessel.id", "nothing", "a name")
    double = DoubleName(where, "vessel.name", "two", "one", kind="device")
    assert SpecErrors([double, plain]).problems == (plain, double)
