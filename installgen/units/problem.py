"""What is wrong with a value that somebody wrote, without the place where it stands."""

from installgen.errors import InstallgenError


class UnitProblem(InstallgenError, ValueError):
    """A written value cannot be read.

    found: what was written, in human words
    expected: what may be written
    instead: what to write, when that is certain enough to suggest; else empty
    """

    def __init__(self, found: str, expected: str, instead: str = "") -> None:
        self.found, self.expected, self.instead = found, expected, instead
        super().__init__(found, expected, instead)

    def __str__(self) -> str:
        text = f"found {self.found}; expected {self.expected}"
        return f"{text}; write {self.instead}" if self.instead else text


def quoted(text: str, longest: int = 40) -> str:
    """The text between quotation marks for a message: one line, printable, shortened."""
    printable = "".join(sign if sign.isprintable() else "�" for sign in text)
    if len(printable) > longest:
        printable = printable[: longest - 1] + "…"
    return f"“{printable}”"
