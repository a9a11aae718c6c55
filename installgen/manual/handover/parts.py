"""The files of a handover apart from the site: manuals, tables, the spec that made them."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from installgen import __version__
from installgen.errors import InstallgenError
from installgen.manual.bound.pages import running_title
from installgen.manual.made_manual import MadeManual
from installgen.manual.onefile.document import one_file
from installgen.manual.pages.installer import tables_csv
from installgen.manual.paper.pdf import PaperSize, pdf_of

ONE_FILE, PDF, SITE = "manual.html", "manual.pdf", "site"
TABLES, SPECS = "tables", "specs"
READ_ME, ABOUT, SUMS = "README.txt", "about.json", "SHA256SUMS"
EARLIEST = datetime(1980, 1, 1, tzinfo=UTC)
"""The earliest date that a zip archive can hold."""


def handover_parts(
    made: MadeManual,
    specs_folder: Path,
    size: PaperSize,
    report: Callable[[str], None] = lambda text: None,
) -> Iterator[tuple[str, bytes]]:
    """Each file by its path in the handover, the check sums and the site apart.

    report: told in a few words what is being worked on
    Raises NoPdf where the PDF cannot be made.
    """
    yield ONE_FILE, one_file(made, report).encode()
    for name, text in tables_csv(made.source).items():
        yield f"{TABLES}/{name}", text.encode()
    yield from spec_files(made, specs_folder)
    yield READ_ME, read_me(made).encode()
    yield ABOUT, about(made, size).encode()
    yield PDF, pdf_of(made, size, report)


def spec_files(made: MadeManual, specs_folder: Path) -> Iterator[tuple[str, bytes]]:
    """The spec, sheets, standards and texts that made the manual, those of earlier ones too."""
    vessels = [made.vessel, *(one.manual.vessel for one in made.source.earlier)]
    # A photograph goes without what the camera wrote beside it.
    published = {f"photos/{name}": one.data for name, one in made.pictures.items()}
    for name in dict.fromkeys(name for vessel in vessels for name in vessel.files):
        inner = PurePosixPath(*PurePosixPath(name).parts[1:]).as_posix()
        if inner in published:
            yield f"{SPECS}/{inner}", published[inner]
        elif not inner.startswith("photos/"):
            yield f"{SPECS}/{inner}", (specs_folder / inner).read_bytes()


def read_me(made: MadeManual) -> str:
    """What is in the handover and how to see that it is whole."""
    m = made.source
    lines = [running_title(made), m.text("bound.title")]
    if m.findings.draft:
        lines += ["", m.text("bound.draft")]
    lines.append("")
    for name in (ONE_FILE, PDF, SITE, TABLES, SPECS, ABOUT, SUMS):
        key = name.partition(".")[2] if "." in name else name.lower()
        lines.append(f"{name:14}{m.text(f'handover.{key}')}")
    lines += ["", m.text("handover.check"), "", m.text("bound.made_by", version=__version__)]
    return "\n".join(lines) + "\n"


def about(made: MadeManual, size: PaperSize) -> str:
    """The same for a program."""
    identity, standard = made.vessel.spec.vessel, made.vessel.standard.standard
    told = {
        "draft": made.source.findings.draft,
        "draft_reasons": [reason.text for reason in made.source.findings.draft_reasons],
        "format": 1,
        "paper": size,
        "standard": {"edition": standard.edition, "id": standard.id},
        "tool": {"name": "installgen", "version": __version__},
        "vessel": {
            "date": str(identity.date),
            "hin": str(identity.hin),
            "id": identity.id,
            "name": identity.name,
            "revision": identity.revision,
        },
    }
    return json.dumps(told, ensure_ascii=False, indent=2, sort_keys=True) + "\n"


def date_of(made: MadeManual, source_date_epoch: str | None) -> datetime:
    """The date that the archive's entries carry: as the environment says, else the spec's own.

    source_date_epoch: seconds since 1970, as reproducible builds give them
    Raises InstallgenError for one that is no whole number.
    """
    if source_date_epoch:
        try:
            return max(EARLIEST, datetime.fromtimestamp(int(source_date_epoch), UTC))
        except (ValueError, OverflowError, OSError):
            raise InstallgenError(
                f"SOURCE_DATE_EPOCH: found `{source_date_epoch}`; expected seconds since 1970 as a "
                "whole number"
            ) from None
    written = str(made.vessel.spec.vessel.date)
    parts = [int(part) for part in written.split("-")] if written[:1].isdigit() else []
    if not parts:
        return EARLIEST
    year, month, day = [*parts, 1, 1][:3]
    return max(EARLIEST, datetime(year, month, day, tzinfo=UTC))
