"""What is wrong with an input, said so that its author can mend it.

Owns the one shape in which every reader of files and options reports; must not know any of them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with an input.

    Attributes:
        message: What is wrong, without a full stop.
        remedy: What to do about it, in the imperative.
        file: Path as the user gave it, or None for an option or a keyboard entry.
        line: Line in that file, counted from 1, or None where no line is to blame.
    """

    message: str
    remedy: str
    file: str | None = None
    line: int | None = None

    def __str__(self) -> str:
        """``file:line: what is wrong; what to do``, as every command prints it."""
        place = ":".join(str(part) for part in (self.file, self.line) if part is not None)
        said = f"{self.message}; {self.remedy}"
        return f"{place}: {said}" if place else said

    def at(self, file: str | None, line: int | None = None) -> Fault:
        """The same fault with its place, where it has none of its own yet."""
        return replace(
            self,
            file=self.file if self.file is not None else file,
            line=self.line if self.line is not None else line,
        )


class InputFault(Exception):
    """The input or the call is wrong: exit status 2. Never raised for a broken invariant of ours."""

    def __init__(self, *faults: Fault) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


def fault(message: str, remedy: str, file: str | None = None, line: int | None = None) -> InputFault:
    """An `InputFault` of a single fault, ready to raise."""
    return InputFault(Fault(message, remedy, file, line))
