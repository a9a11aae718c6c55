"""Check sums, the archive, and the exchange of an old handover for a new one."""

from __future__ import annotations

import hashlib
import shutil
import zipfile
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path


def files_in(folder: Path) -> list[Path]:
    """Every file below a folder, in an order that no machine changes."""
    found = (path for path in folder.rglob("*") if path.is_file())
    return sorted(found, key=lambda path: path.relative_to(folder).as_posix())


def check_sums(folder: Path) -> str:
    """The SHA-256 sum of every file below a folder, as `sha256sum -c` reads them there."""
    lines = [
        f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.relative_to(folder).as_posix()}\n"
        for path in files_in(folder)
    ]
    return "".join(lines)


def archive(folder: Path, target: Path, date: datetime) -> None:
    """The folder as a zip archive whose bytes depend on its files and the date alone."""
    stamp = (date.year, date.month, date.day, date.hour, date.minute, date.second // 2 * 2)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as made:
        for path in files_in(folder):
            name = f"{folder.name}/{path.relative_to(folder).as_posix()}"
            entry = zipfile.ZipInfo(name, stamp)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o100644 << 16
            made.writestr(entry, path.read_bytes(), compresslevel=9)


def exchange(made: Iterable[tuple[Path, Path]], aside: Path) -> None:
    """Put what was made where it belongs; when that fails, what was there before is put back.

    made: each new file or folder with the place it goes to, all on one disk
    aside: an empty folder on the same disk that takes what was there before
    """
    done: list[tuple[Path, Path]] = []
    try:
        for number, (new, place) in enumerate(made):
            old = aside / str(number)
            if place.is_symlink() or place.exists():
                place.rename(old)
                done.append((old, place))
            new.rename(place)
    except OSError:
        for old, place in reversed(done):
            _remove(place)
            old.rename(place)
        raise


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
