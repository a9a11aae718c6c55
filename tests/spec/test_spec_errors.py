"""Every mistake a person makes in a spec has one clear message, exactly this one."""

from pathlib import Path

import pytest

from installgen.errors import SpecErrors
from installgen.spec.load import SpecLibrary
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
