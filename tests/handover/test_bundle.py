"""Exchanging an old handover for a new one, and the archive's date."""

import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pytest

from installgen.manual.handover.bundle import archive, exchange


def folder(path: Path, text: str) -> Path:
    """A folder with one file."""
    path.mkdir()
    (path / "file.txt").write_text(text)
    return path


def test_the_old_one_is_replaced_as_a_whole(tmp_path: Path) -> None:
    old = folder(tmp_path / "tern", "old")
    (old / "gone.txt").write_text("not in the new one")
    aside = tmp_path / "aside"
    aside.mkdir()
    exchange([(folder(tmp_path / "new", "new"), old)], aside)
    assert (old / "file.txt").read_text() == "new"
    assert not (old / "gone.txt").exists()


def test_the_old_one_comes_back_when_the_second_cannot_be_placed(tmp_path: Path) -> None:
    old = folder(tmp_path / "tern", "old")
    aside = tmp_path / "aside"
    aside.mkdir()
    new = folder(tmp_path / "new", "new")
    nowhere = tmp_path / "missing" / "tern.zip"
    zipped = tmp_path / "new.zip"
    zipped.write_bytes(b"zip")
    with pytest.raises(OSError, match=r"tern\.zip"):
        exchange([(new, old), (zipped, nowhere)], aside)
    assert (old / "file.txt").read_text() == "old"


def test_an_archive_keeps_the_date_it_is_given(tmp_path: Path) -> None:
    made = folder(tmp_path / "tern", "text")
    archive(made, tmp_path / "tern.zip", datetime(2026, 5, 4, 3, 2, 1, tzinfo=UTC))
    with zipfile.ZipFile(tmp_path / "tern.zip") as opened:
        assert [entry.date_time for entry in opened.infolist()] == [(2026, 5, 4, 3, 2, 0)]
        assert opened.namelist() == ["tern/file.txt"]
