"""YAML with its places kept, so that every mistake is answered with file, line and cure."""

from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import yaml

_FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class FlowError(Exception):
    """A mistake in a file of flows/ or locales/: ``path:line:column key: cure``."""

    def __init__(self, path: Path, line: int, column: int, words: str) -> None:
        super().__init__(f"{path}:{line}:{column} {words}")
        self.path, self.line, self.column, self.words = path, line, column, words


class UnknownKey(FlowError):
    """A key that nothing reads; ``key`` is where it stands."""

    def __init__(self, entry: "Entry", known: tuple[str, ...]) -> None:
        mark = entry.node.start_mark
        words = f"{entry.name}: unknown key; known here: {', '.join(known)}"
        super().__init__(entry.path, mark.line + 1, mark.column + 1, words)
        self.key = entry.node


class Entry:
    """One value of a YAML file, with the place where it stands and the key that led to it."""

    def __init__(self, path: Path, node: yaml.Node, name: str = "") -> None:
        self.path, self.node, self.name = path, node, name

    def fail(self, cure: str) -> NoReturn:
        """Raise a FlowError at this place; ``cure`` says what is needed here."""
        mark = self.node.start_mark
        words = f"{self.name}: {cure}" if self.name else cure
        raise FlowError(self.path, mark.line + 1, mark.column + 1, words)

    # -- mappings ---------------------------------------------------------------------------------

    def items(self) -> Iterator[tuple[str, "Entry"]]:
        """The keys and values of a mapping, in the order of the file; a key twice is a mistake."""
        if not isinstance(self.node, yaml.MappingNode):
            self.fail(f"need a mapping of keys to values, got {self._shown()}")
        seen: set[str] = set()
        for key, value in self.node.value:
            entry = Entry(self.path, value, str(key.value))
            if key.value in seen:
                Entry(self.path, key, str(key.value)).fail("stands twice here, keep one")
            seen.add(key.value)
            yield str(key.value), entry

    def keys(self, *allowed: str) -> dict[str, "Entry"]:
        """The mapping as a dict; with ``allowed`` given, any other key is a mistake."""
        found = dict(self.items())
        assert isinstance(self.node, yaml.MappingNode)  # items() has said so already
        for key, _value in self.node.value:
            if allowed and key.value not in allowed:
                raise UnknownKey(Entry(self.path, key, str(key.value)), allowed)
        return found

    def need(self, key: str) -> "Entry":
        """The value under ``key``, which must be there."""
        for name, value in self.items():
            if name == key:
                return value
        return self.fail(f"the key {key} is missing here")

    def get(self, key: str) -> "Entry | None":
        """The value under ``key``, or None where it is missing or null."""
        return next((v for name, v in self.items() if name == key and not v.is_null()), None)

    # -- lists and scalars ------------------------------------------------------------------------

    def list(self) -> "list[Entry]":
        """The values of a list."""
        if not isinstance(self.node, yaml.SequenceNode):
            self.fail(f"need a list, got {self._shown()}")
        return [Entry(self.path, node, self.name) for node in self.node.value]

    def is_null(self) -> bool:
        """Whether nothing stands here."""
        return self.node.tag == "tag:yaml.org,2002:null"

    def is_list(self) -> bool:
        """Whether a list stands here."""
        return isinstance(self.node, yaml.SequenceNode)

    def is_mapping(self) -> bool:
        """Whether a mapping stands here."""
        return isinstance(self.node, yaml.MappingNode)

    def text(self) -> str:
        """A text, exactly as written (a bare ``no`` or ``05`` stays a text)."""
        if not isinstance(self.node, yaml.ScalarNode) or self.is_null():
            self.fail(f"need a text, got {self._shown()}")
        return str(self.node.value)

    def choice(self, *allowed: str) -> str:
        """One of the allowed words."""
        word = self.text()
        return (
            word
            if word in allowed
            else self.fail(f"need one of {', '.join(allowed)}, got {word!r}")
        )

    def number(self, low: float | None = None, high: float | None = None, unit: str = "") -> float:
        """A number between ``low`` and ``high``, both included."""
        try:
            value = float(self.text())
        except ValueError:
            self.fail(f"need a number{f' of {unit}' if unit else ''}, got {self._shown()}")
        return self._within(value, low, high)

    def whole(self, low: int | None = None, high: int | None = None, unit: str = "") -> int:
        """A whole number between ``low`` and ``high``, both included."""
        try:
            value = int(self.text())
        except ValueError:
            self.fail(f"need a whole number{f' of {unit}' if unit else ''}, got {self._shown()}")
        return int(self._within(value, low, high))

    def flag(self) -> bool:
        """yes or no."""
        return self.choice("yes", "no", "true", "false") in ("yes", "true")

    def _within(self, value: float, low: float | None, high: float | None) -> float:
        if (
            value != value
            or (low is not None and value < low)
            or (high is not None and value > high)
        ):
            bounds = [f"at least {low:g}"] if low is not None else []
            bounds += [f"at most {high:g}"] if high is not None else []
            self.fail(f"need {' and '.join(bounds) or 'a number'}, got {value:g}")
        return value

    def _shown(self) -> str:
        if isinstance(self.node, yaml.ScalarNode):
            return "nothing" if self.is_null() else repr(self.node.value)
        return "a list" if isinstance(self.node, yaml.SequenceNode) else "a mapping"


def read_file(path: Path) -> Entry:
    """The top of a YAML file. A file that cannot be read, or is empty, is a FlowError too."""
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise FlowError(path, 1, 1, f"cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise FlowError(path, 1, 1, f"need UTF-8 text, byte {error.start} is not") from error
    return read_text(path, text)


def _composed(text: str) -> yaml.Node | None:
    """The nodes of a text, by libyaml where it is built in: ten times as fast on long word lists.

    A text with a mistake is read again in Python, whose places and words are the better ones.
    """
    try:
        return yaml.compose(text, Loader=_FAST)
    except yaml.YAMLError:
        return yaml.compose(text, Loader=yaml.SafeLoader)


def read_text(path: Path, text: str) -> Entry:
    """The top of YAML text that is at hand already; ``path`` is only named in mistakes."""
    try:
        node = _composed(text)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        raise FlowError(path, line, column, f"not YAML: {error.problem}") from error
    except yaml.YAMLError as error:
        raise FlowError(path, 1, 1, f"not YAML: {error}") from error
    if node is None:
        raise FlowError(path, 1, 1, "the file is empty")
    return Entry(path, node)
