"""Finding specs by id, and nothing outside their folder."""

from pathlib import Path

import pytest

from installgen.errors import Position, Problem
from installgen.spec.folder import FolderProblem, SpecFolder, check_id, nearest


@pytest.fixture
def folder(tmp_path: Path) -> SpecFolder:
    for name in ("vessels/tern", "vessels/a-twin", "engines/garrow-six", "standards/yard"):
        path = tmp_path / "specs" / f"{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("format: 1\n")
    (tmp_path / "secret.yaml").write_text("a: 1\n")
    return SpecFolder(tmp_path / "specs")


def test_ids_and_paths(folder: SpecFolder) -> None:
    assert folder.ids("vessels") == ("a-twin", "tern")
    assert folder.path("engines", "garrow-six") == folder.root / "engines" / "garrow-six.yaml"
    assert SpecFolder(folder.root / "none").ids("vessels") == ()
    assert folder.strays() == ()


@pytest.mark.parametrize("bad", ["", "a" * 61, "Tern", "tern.yaml", "a b", "ä", "tern\n", "a_b"])
def test_ids_of_another_shape(bad: str) -> None:
    with pytest.raises(FolderProblem, match="small letters"):
        check_id(bad)


@pytest.mark.parametrize(
    "bad", ["../secret", "..", ".", "/etc/passwd", "..\\secret", "vessels/tern", "a/../../secret"]
)
def test_ids_that_would_leave_the_folder(folder: SpecFolder, bad: str) -> None:
    with pytest.raises(FolderProblem) as raised:
        folder.path("vessels", bad)
    assert raised.value.found.startswith("the id ")
    assert raised.value.instead == ""


def test_a_near_id_is_suggested(folder: SpecFolder) -> None:
    with pytest.raises(FolderProblem) as raised:
        folder.path("vessels", "turn")
    position = Position("specs/vessels/x.yaml", 3, 9)
    assert raised.value.at(position, "vessel") == Problem(
        position,
        "vessel",
        "the vessel `turn`, which has no file",
        "one of a-twin, tern",
        "`tern`",
    )
    with pytest.raises(FolderProblem) as raised:
        check_id("Garrow Six")
    assert raised.value.instead == "`garrow-six`"


def test_links_are_refused(folder: SpecFolder) -> None:
    (folder.root / "vessels" / "link.yaml").symlink_to(folder.root.parent / "secret.yaml")
    assert "link" not in folder.ids("vessels")
    with pytest.raises(FolderProblem, match="a symbolic link"):
        folder.path("vessels", "link")
    (stray,) = folder.strays()
    assert "a symbolic link" in stray.found

    other = SpecFolder(folder.root.parent / "other")
    other.root.mkdir()
    (other.root / "vessels").symlink_to(folder.root / "vessels")
    assert other.ids("vessels") == ()
    with pytest.raises(FolderProblem, match="a symbolic link"):
        other.path("vessels", "tern")


def test_paths_that_the_user_names(folder: SpecFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    assert folder.kind_and_id(folder.root / "vessels" / "tern.yaml") == ("vessels", "tern")
    monkeypatch.chdir(folder.root.parent)
    relative = SpecFolder(Path("specs"))
    assert relative.kind_and_id(Path("specs/engines/garrow-six.yaml")) == ("engines", "garrow-six")
    for bad in ("secret.yaml", "specs/tern.yaml", "specs/boats/tern.yaml", "specs/vessels/no.yaml",
                "specs/vessels/../../secret.yaml", "specs/vessels/tern.yml"):  # fmt: skip
        with pytest.raises(FolderProblem):
            relative.kind_and_id(Path(bad))


def test_strays_are_named(folder: SpecFolder) -> None:
    vessels = folder.root / "vessels"
    for name in ("tern.yml", "Big Boat.yaml", "notes.txt", ".hidden"):
        (vessels / name).write_text("")
    (vessels / "old").mkdir()
    told = {(Path(one.found.split("`")[1]).name, one.instead) for one in folder.strays()}
    assert told == {
        ("tern.yml", "`tern.yaml`"),
        ("Big Boat.yaml", "`big-boat.yaml`"),
        ("notes.txt", ""),
        ("old", ""),
    }


def test_nearest() -> None:
    known = ["raw_water", "exhaust", "electrical"]
    assert nearest("raw-water", known) == "raw_water"
    assert nearest("exaust", known) == "exhaust"
    assert nearest("Electrical", known) == "electrical"
    assert nearest("galley", known) is None
    assert nearest("x" * 10_000, known) is None
    assert nearest("anything", []) is None
