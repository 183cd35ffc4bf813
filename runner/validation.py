"""What a file says against what it may say: every fault at once, in plain sentences.

Owns the way from the validation library's errors to faults with file, line, place and remedy. Must not know
any model, nor let the library's own wording reach a reader.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from runner.faults import Fault, InputFault
from runner.fields import OWN_KEY, SHORT, Table, choose, found
from runner.text import shown
from runner.toml_file import Document, at_most

if TYPE_CHECKING:
    from runner.toml_scan import Path

FORMAT = 1
"""The format of files that this version reads."""

T = TypeVar("T", bound=Table)


class Reading:
    """The faults found so far in one file, and the tables read from it."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.faults: list[Fault] = []
        self._check_format()

    def add(self, at: Path, message: str, remedy: str, place: Path | None = None) -> None:
        """Note a fault.

        Args:
            at: What is at fault; its line is told.
            message: What is wrong, without a full stop.
            remedy: What to do about it.
            place: What the sentence begins with, where that is not `at` itself.
        """
        words = _place(self.document.data, at if place is None else place)
        said = f"{words}: {message}" if words else message
        self.faults.append(Fault(said, remedy, self.document.file, self.document.line_of(at) or 1))

    def unknown(self, at: Path, what: str, word: str, known: Iterable[str]) -> None:
        """Note a name that stands for nothing, with the nearest one that does."""
        self.add(at, f'there is no {what} "{shown(word, SHORT)}"', choose(word, known))

    def table(self, kind: type[T], data: object, at: Path = ()) -> T | None:
        """Read one table; its faults are noted and None comes back where it has any."""
        try:
            return kind.model_validate(data)
        except ValidationError as wrong:
            for error in wrong.errors(include_url=False):
                self._explain(kind, dict(error), at)
            return None

    def tables(self, key: str) -> dict[str, Any]:
        """The named tables of a section, such as all of ``[tank.NAME]``; noted where it is none."""
        section = self.document.data.get(key, {})
        if isinstance(section, dict):
            return section
        self.add((key,), f"{found(section)} stands where tables are needed", f"write each as [{key}.NAME]")
        return {}

    def finish(self, read: T | None) -> T:
        """What was read, or all faults of the file together, in the order of its lines.

        Raises:
            InputFault: There is at least one.
        """
        if self.faults or read is None:
            raise self._refusal()
        return read

    def _refusal(self) -> InputFault:
        return InputFault(*at_most(sorted(self.faults, key=lambda fault: fault.line or 0)))

    def _check_format(self) -> None:
        number = self.document.data.get("format")
        if type(number) is int and number == FORMAT:
            return
        if number is None:
            self.add((), '"format" is missing', f"write format = {FORMAT} on the first line")
        elif type(number) is int and number > FORMAT:
            self.add(
                ("format",),
                f"format {shown(number, 20)} was made by a later version; this one reads format {FORMAT}",
                "use the later version of this program",
            )
        else:
            self.add(("format",), f"{found(number)} is no format", f"write format = {FORMAT}")
        # Nothing else is judged: in another format every key may mean something else.
        raise self._refusal()

    def _explain(self, kind: type[Table], error: dict[str, Any], at: Path) -> None:
        inside: Path = tuple(part for part in error["loc"] if part != "[key]")
        context: dict[str, Any] = error.get("ctx", {})
        if error["type"] == "refused":
            self.add((*at, *inside), context["message"], context["remedy"])
        elif error["type"] == "missing":
            key = str(inside[-1])
            self.add((*at, *inside[:-1]), f'"{key}" is missing', f"write {_example(kind, inside)}")
        elif error["type"] == "extra_forbidden":
            key = str(inside[-1])
            known = _keys_of(_model_at(kind, inside[:-1]))
            self.add(
                (*at, *inside),
                f'unknown key "{shown(key, SHORT)}"',
                choose(key, known),
                place=(*at, *inside[:-1]),
            )
        elif error["type"] == "model_type":
            message = f"{found(error['input'])} stands where a table is needed"
            self.add((*at, *inside), message, f"write it as {_table_example(kind, inside)}")
        else:
            needed, remedy = _NEEDED.get(error["type"], ("something else", "compare it with an example file"))
            self.add((*at, *inside), f"{found(error['input'])} stands where {needed} is needed", remedy)


_NEEDED: dict[str, tuple[str, str]] = {
    "bool_type": ("true or false", "write true or false, without quotes"),
    "tuple_type": ("a list", "write it in square brackets, even where it holds one thing only"),
    "dict_type": ("a table", "write it as { key = value }"),
}
"""What was needed and what to do, by the library's type of error; refusals of our own say it themselves."""

_NAMED = frozenset({"tank", "rectifier", "rack", "person"})


def _place(data: dict[str, Any], at: Path) -> str:
    """A path as a reader finds it: ``step 7 "Bright nickel", check 2, unit``."""
    parts: list[str] = []
    rest = at
    if at[:1] == ("step",) and len(at) > 1 and isinstance(at[1], int):
        parts.append(_step(data, at[1]))
        rest = at[2:]
    elif at[:1] and at[0] in _NAMED and len(at) > 1:
        parts.append(f'{at[0]} "{shown(at[1], SHORT)}"')
        rest = at[2:]
    for part in rest:
        if isinstance(part, int) and parts:
            parts[-1] += f" {part + 1}"
        else:
            parts.append(shown(part, SHORT))
    return ", ".join(parts)


def _step(data: dict[str, Any], place: int) -> str:
    steps = data.get("step")
    step = steps[place] if isinstance(steps, list) and place < len(steps) else None
    name = step.get("name") if isinstance(step, dict) else None
    return (
        f'step {place + 1} "{shown(name, SHORT)}"' if isinstance(name, str) and name else f"step {place + 1}"
    )


def _keys_of(kind: type[BaseModel] | None) -> list[str]:
    """The keys that a table may have, in the order in which they are usually written."""
    infos = kind.model_fields.items() if kind else ()
    return [key for name, info in infos if (key := info.alias or name) != OWN_KEY]


def _model_at(kind: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """The model of the table at a path below another; list positions do not count."""
    at: type[BaseModel] | None = kind
    for key in path:
        if isinstance(key, str) and at is not None:
            infos = [info for name, info in at.model_fields.items() if key == (info.alias or name)]
            at = _model_in(infos[0].annotation) if infos else None
    return at


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((model for part in get_args(annotation) if (model := _model_in(part))), None)


def _example(kind: type[BaseModel], path: Path) -> str:
    """How a missing key may be written."""
    key = str(path[-1])
    examples = _examples(_model_at(kind, path[:-1]))
    return f"{key} = {examples.get(key, '…')}"


def _table_example(kind: type[BaseModel], path: Path) -> str:
    """How a table may be written with the keys that it must have."""
    pairs = (f"{key} = {example}" for key, example in _examples(_model_at(kind, path)).items())
    return f"{{ {', '.join(pairs)} }}"


def _examples(kind: type[BaseModel] | None) -> dict[str, str]:
    """How each key that a table must have may be written."""
    infos = kind.model_fields.items() if kind else ()
    return {
        info.alias or name: info.examples[0] for name, info in infos if info.examples and info.is_required()
    }
