"""`installgen handover`: whole or not at all, of one vessel alone, the same bytes every time."""

import base64
import hashlib
import json
import re
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from installgen.cli import handing_over, main
from installgen.manual.paper.pdf import NoPdf
from tests.conftest import HANDOVER_SPECS, hand_over

pytestmark = pytest.mark.xdist_group("handover")


def invoke(vessel: str, out: Path) -> Result:
    """The command in this process."""
    words = ["--specs", str(HANDOVER_SPECS), "handover", vessel, "--out", str(out)]
    return CliRunner().invoke(main, words)


OTHERS = ("dunlin", "ZZ-TST00999E626")


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_it_holds_what_belongs_to_a_handover(handed_over: Path) -> None:
    names = set(contents(handed_over / "tern"))
    assert names >= {
        *("manual.html", "manual.pdf", "site/index.html", "site/conductors.html"),
        *("specs/vessels/tern.yaml", "specs/engines/garrow.yaml", "specs/standards/yard.yaml"),
        *("specs/text/yard/introduction.md", "tables/conductors.csv", "site/tables/conductors.csv"),
        *("README.txt", "SHA256SUMS", "about.json"),
    }
    about = json.loads((handed_over / "tern" / "about.json").read_text("utf-8"))
    assert about["tool"]["name"] == "installgen"
    assert about["vessel"]["revision"] == "B"
    assert about["draft"] is False


def test_nothing_else_is_left_behind(handed_over: Path) -> None:
    assert sorted(path.name for path in handed_over.iterdir()) == ["tern", "tern.zip"]


def test_no_other_vessel_is_in_it(handed_over: Path) -> None:
    for name, content in contents(handed_over / "tern").items():
        for other in OTHERS:
            assert other not in name
            assert other.casefold().encode() not in content.lower(), (name, other)


def test_nothing_of_the_machine_is_in_it(handed_over: Path) -> None:
    for name, content in contents(handed_over / "tern").items():
        assert str(handed_over).encode() not in content, name
        assert str(HANDOVER_SPECS.parent).encode() not in content, name


def test_no_photograph_says_where_it_was_taken(handed_over: Path) -> None:
    name = "photos/yard/strainer.jpg"
    original = (HANDOVER_SPECS / name).read_bytes()
    assert b"Exif" in original
    assert b"secret-harbour" in original
    files = contents(handed_over / "tern")
    published = files[f"specs/{name}"]
    assert files[f"site/{name}"] == published
    assert b"Exif" not in published
    assert b"secret-harbour" not in published
    assert base64.b64encode(published) in files["manual.html"]


def test_the_sums_cover_every_file(handed_over: Path) -> None:
    files = contents(handed_over / "tern")
    lines = files.pop("SHA256SUMS").decode().splitlines()
    told = {name: digest for digest, _, name in (line.partition("  ") for line in lines)}
    assert told == {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}


def test_the_archive_holds_the_folder_and_the_date_of_the_spec(handed_over: Path) -> None:
    with zipfile.ZipFile(handed_over / "tern.zip") as archive:
        inside = {entry.filename: archive.read(entry) for entry in archive.infolist()}
        dates = {entry.date_time for entry in archive.infolist()}
    files = contents(handed_over / "tern")
    assert inside == {f"tern/{name}": content for name, content in files.items()}
    assert dates == {(2026, 5, 4, 0, 0, 0)}


def test_the_spec_that_is_handed_over_makes_the_same_bytes(
    handed_over: Path, tmp_path: Path
) -> None:
    again = hand_over(
        "tern", tmp_path, specs=handed_over / "tern" / "specs", PYTHONHASHSEED="1", TZ="Asia/Tokyo"
    )
    assert again.returncode == 0, again.stderr
    assert (tmp_path / "tern.zip").read_bytes() == (handed_over / "tern.zip").read_bytes()


def test_a_draft_is_refused_with_its_reasons(tmp_path: Path) -> None:
    done = invoke("dunlin", tmp_path / "out")
    assert done.exit_code == 1
    assert not (tmp_path / "out").exists()
    assert re.search(r"specs/vessels/dunlin\.yaml:6:\d+: .*serial.*unknown", done.stderr)
    assert "--draft" in done.stderr


def test_what_was_there_stays_when_something_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "tern").mkdir()
    (tmp_path / "tern" / "kept.txt").write_text("of the revision before")

    def fails(*_: object) -> None:
        raise NoPdf("no Pango here")

    monkeypatch.setattr(handing_over, "handover_parts", fails)
    done = invoke("tern", tmp_path)
    assert done.exit_code == 2
    assert done.stderr == "no Pango here\n"
    assert list(contents(tmp_path)) == ["tern/kept.txt"]


def test_a_date_that_is_none_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    done = invoke("tern", tmp_path)
    assert done.exit_code == 2
    assert "SOURCE_DATE_EPOCH: found `yesterday`" in done.stderr
