"""Photographs as they are published: without metadata, upright, small; and where they stand."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from installgen.errors import SpecErrors
from installgen.manual import pictures
from installgen.manual.blocks import Photograph, Table
from installgen.manual.pictures import LONGEST_PX, picture
from installgen.spec.photo_spec import Photo
from tests.manual.manuals import manual

ENTRY = Photo(file="tern/bow.jpg", caption="The bow")
SECRET = "secret-harbour"


def photograph(path: Path, size: tuple[int, int], *, turned: int = 1) -> Path:
    """A photograph as a telephone takes it: with a position, a place's name, a preview."""
    image = Image.new("RGB", size, "navy")
    image.paste("white", (0, 0, size[0] // 2, size[1] // 2))
    exif = Image.Exif()
    exif[ExifTags.Base.ImageDescription] = SECRET
    exif[ExifTags.Base.Orientation] = turned
    position = exif.get_ifd(ExifTags.IFD.GPSInfo)
    position[ExifTags.GPS.GPSLatitudeRef] = "N"
    position[ExifTags.GPS.GPSLatitude] = (54.0, 1.0, 2.0)
    image.save(path, exif=exif.tobytes(), comment=SECRET.encode())
    assert SECRET.encode() in path.read_bytes()
    return path


@pytest.mark.parametrize("name", ["bow.jpg", "bow.png"])
def test_nothing_tells_where_it_was_taken(name: str, tmp_path: Path) -> None:
    made = picture(photograph(tmp_path / name, (400, 300)), ENTRY)
    assert SECRET.encode() not in made.data
    assert b"Exif" not in made.data
    with Image.open(BytesIO(made.data)) as opened:
        assert dict(opened.getexif()) == {}
        assert opened.size == (400, 300) == (made.width_px, made.height_px)


def test_it_is_turned_upright(tmp_path: Path) -> None:
    made = picture(photograph(tmp_path / "bow.jpg", (400, 300), turned=6), ENTRY)
    assert (made.width_px, made.height_px) == (300, 400)
    with Image.open(BytesIO(made.data)) as opened:
        assert opened.getpixel((290, 10))[0] > 200  # type: ignore[index]
        assert opened.getpixel((10, 10))[0] < 60  # type: ignore[index]


def test_a_large_one_is_made_smaller(tmp_path: Path) -> None:
    made = picture(photograph(tmp_path / "bow.jpg", (4000, 2000)), ENTRY)
    assert (made.width_px, made.height_px) == (LONGEST_PX, LONGEST_PX // 2)


@pytest.mark.parametrize("name", ["bow.jpg", "bow.png"])
def test_publishing_it_again_changes_nothing(name: str, tmp_path: Path) -> None:
    first = picture(photograph(tmp_path / name, (500, 300)), ENTRY)
    again = tmp_path / f"again.{name}"
    again.write_bytes(first.data)
    assert picture(again, ENTRY).data == first.data


def test_a_second_picture_behind_the_first_is_dropped(tmp_path: Path) -> None:
    path = tmp_path / "bow.jpg"
    Image.new("RGB", (40, 30), "navy").save(path)
    hidden = photograph(tmp_path / "hidden.jpg", (20, 20)).read_bytes()
    path.write_bytes(path.read_bytes() + hidden)
    assert SECRET.encode() not in picture(path, ENTRY).data


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    path = photograph(tmp_path / "bow.jpg", (400, 300))
    path.write_bytes(path.read_bytes()[:700])
    with pytest.raises(SpecErrors, match=r"tern/bow\.jpg`, which cannot be read"):
        picture(path, ENTRY)


def test_one_that_unpacks_to_too_much_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pictures, "MOST_PIXELS", 10_000)
    with pytest.raises(SpecErrors, match="400 by 300 pixels"):
        picture(photograph(tmp_path / "bow.jpg", (400, 300)), ENTRY)


def test_a_photograph_stands_below_the_table_that_tells_of_the_thing() -> None:
    blocks = manual("brannock").pages["raw-water"].blocks
    (place,) = [number for number, one in enumerate(blocks) if isinstance(one, Photograph)]
    table = blocks[place - 1]
    assert isinstance(table, Table)
    assert "engine.raw-water.strainer" in {row.anchor for row in table.rows}


def test_it_says_what_one_sees() -> None:
    (figure,) = manual("brannock").tree("raw-water").find_class("photograph")
    (image,) = figure.xpath(".//img")
    assert image.get("alt").startswith("The strainer ST1")
    caption = figure.text_content()
    assert caption.startswith("ST1 Raw-water strainer: The strainer ST1")
    assert figure.xpath(".//a/@href") == ["#engine.raw-water.strainer"]
