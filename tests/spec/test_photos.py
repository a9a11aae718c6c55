"""Photographs that a spec names: inside the specs folder, of a sensible size, pictures."""

from pathlib import Path

import pytest

from installgen.errors import SpecErrors
from installgen.spec import photos
from installgen.spec.load import SpecLibrary

PNG = b"\x89PNG\r\n\x1a\n" + b"0" * 40
JPEG = b"\xff\xd8\xff\xe0" + b"0" * 40


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    """A specs folder whose one vessel names photographs in `{photos}`."""
    base = Path(__file__).parents[1] / "spec_errors" / "base"
    for path in base.rglob("*.yaml"):
        target = tmp_path / "specs" / path.relative_to(base)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(path.read_text("utf-8"), "utf-8")
    (tmp_path / "specs" / "photos" / "tern").mkdir(parents=True)
    return tmp_path / "specs"


def told(specs: Path, file: str) -> str:
    """What is said of a vessel with this photograph; empty where all is well."""
    path = specs / "vessels" / "tern.yaml"
    path.write_text(path.read_text("utf-8") + f"photos: [{{file: {file}, caption: Bow}}]\n")
    try:
        SpecLibrary.at(specs).vessel("tern")
    except SpecErrors as errors:
        return str(errors)
    return ""


def test_a_photograph_is_found_and_belongs_to_her_files(specs: Path) -> None:
    (specs / "photos" / "tern" / "bow.png").write_bytes(PNG)
    assert told(specs, "tern/bow.png") == ""
    vessel = SpecLibrary.at(specs).vessel("tern")
    assert vessel.photos == {"tern/bow.png": specs / "photos" / "tern" / "bow.png"}
    assert "specs/photos/tern/bow.png" in vessel.files


def test_a_missing_one_is_told_with_the_nearest(specs: Path) -> None:
    (specs / "photos" / "tern" / "bow.png").write_bytes(PNG)
    said = told(specs, "tern/bov.png")
    assert said.startswith("specs/vessels/tern.yaml:6:17: photos[1].file: found `tern/bov.png`")
    assert "write `tern/bow.png`" in said


@pytest.mark.parametrize(
    "file",
    ["../secret.png", "/etc/passwd", "tern/../../x.png", "tern/bow.gif", "bow.png", "tern/Bow.png"],
)
def test_no_other_path_is_taken(file: str, specs: Path) -> None:
    assert "below `photos/` of the specs folder" in told(specs, file)


def test_no_link_is_followed(specs: Path, tmp_path: Path) -> None:
    (tmp_path / "outside.png").write_bytes(PNG)
    (specs / "photos" / "tern" / "bow.png").symlink_to(tmp_path / "outside.png")
    assert "`tern/bow.png`, a symbolic link" in told(specs, "tern/bow.png")


def test_no_linked_folder_is_followed(specs: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "bow.png").write_bytes(PNG)
    (specs / "photos" / "other").symlink_to(tmp_path / "elsewhere")
    assert "`other/bow.png`, a symbolic link" in told(specs, "other/bow.png")


def test_a_large_one_is_refused(specs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "LARGEST_BYTES", 20)
    (specs / "photos" / "tern" / "bow.png").write_bytes(PNG)
    assert "`tern/bow.png`, 48 bytes; expected at most 20 bytes" in told(specs, "tern/bow.png")


@pytest.mark.parametrize(("name", "data"), [("bow.png", JPEG), ("bow.jpg", PNG), ("bow.jpg", b"")])
def test_what_is_no_picture_is_refused(name: str, data: bytes, specs: Path) -> None:
    (specs / "photos" / "tern" / name).write_bytes(data)
    assert "which is no" in told(specs, f"tern/{name}")
