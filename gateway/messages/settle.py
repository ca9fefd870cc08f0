"""A text that answers an open question of ours: "below", a choice number, yes, a sign, a plot."""

from gateway.messages.codes import Codes
from gateway.messages.heard import Ask, Heard, Meaning, Pending, Reading
from gateway.messages.items import Item
from gateway.messages.vocabulary import Vocabulary

_PASSED = frozenset(("filler", "polite", "comma", "inside", "and"))
_AROUND_CHOICE = frozenset(("amount", "no", "plot", "plain", "unknown"))
_FLAG = ("answer",)


def settle(
    items: list[Item], words: list[str], pending: Pending, codes: Codes, vocabulary: Vocabulary
) -> Heard | None:
    """What the text makes of the open question, or None where it says something else."""
    said = [item for item in items if item.role not in _PASSED]
    if any(item.asked for item in items):
        return None
    levels = tuple(float(c) for c in pending.candidates if not isinstance(c, str))
    plots = tuple(c for c in pending.candidates if isinstance(c, str))
    if plots:
        return _plot_chosen(said, words, pending, plots, codes, vocabulary)
    others = [
        i for i in said if i.role == "foreign" or (i.role == "own" and pending.plot not in i.codes)
    ]
    if others or not levels:
        return None
    rest = [item for item in said if item.role != "own"]
    return _level_chosen(rest, words, pending, levels, vocabulary)


def _level_chosen(
    rest: list[Item],
    words: list[str],
    pending: Pending,
    levels: tuple[float, ...],
    vocabulary: Vocabulary,
) -> Heard | None:
    number = _choice(rest, words, len(levels), vocabulary)
    repeated = _repeated(rest, levels)
    if number is not None and repeated:
        return _again(pending, levels)
    if number is not None:
        return _taken(pending, levels[number - 1])
    if len(repeated) == 1 and 0 not in levels:
        return _taken(pending, repeated[0])
    numbered = any(item.role == "amount" for item in rest)
    kind = None if numbered else _yes_or_no(rest, words, vocabulary)
    if kind == "yes":
        return _taken(pending, levels[0]) if len(levels) == 1 else _again(pending, levels)
    if kind == "no":
        return Heard("accept", meanings=(Meaning("no", pending.plot),), why="answered no")
    return _by_side(rest, pending, levels)


def _repeated(rest: list[Item], levels: tuple[float, ...]) -> tuple[float, ...]:
    """The candidates whose size the text only says again: "2" to "2 below or 2 above?"."""
    said = [item for item in rest if item.role != "no"]
    amount = said[0].amount if len(said) == 1 else None
    if amount is None or amount.sign or not (amount.sure and amount.length):
        return ()
    return tuple(level for level in levels if abs(level) == amount.cm)


def _affirmed(rest: list[Item]) -> list[Item]:
    """Without what is denied ("below not above"), and without "no" or "sorry" said first."""
    said = [x for i, x in enumerate(rest) if x.role != "sorry" or i]
    if said and said[0].role == "no" and all(x.clause != said[0].clause for x in said[1:]):
        said = said[1:]
    sides = [_side(item) for item in said]
    if len(said) == 3 and said[1].role == "not" and sides[0] == -(sides[2] or 0) != 0:
        return said[:1]
    return said


def _by_side(rest: list[Item], pending: Pending, levels: tuple[float, ...]) -> Heard | None:
    rest = _affirmed(rest)
    sides = {_side(item) for item in rest if item.role not in ("no", "not", "not-before")}
    if sides and None not in sides and len(sides) < len({_side(item) for item in rest}):
        return _again(pending, levels)
    if not sides or None in sides:
        return None
    if len(sides) > 1:
        return _again(pending, levels)
    side = sides.pop()
    fits = tuple(level for level in levels if (level < 0) == (side == -1) and level != 0)
    return _taken(pending, fits[0]) if len(fits) == 1 else _again(pending, fits or levels)


def _side(item: Item) -> int | None:
    if item.role == "sign":
        return -1 if item.value == -1 else 1
    return {"below": -1, "above": 1}.get(item.role)


def _choice(rest: list[Item], words: list[str], count: int, vocabulary: Vocabulary) -> int | None:
    """The number of the chosen candidate, from 1: "2", "no 2", "option 2", "second"."""
    numbers = [item.amount for item in rest if item.amount is not None]
    spoken = [w for w in words if _says(w, vocabulary)]
    named = vocabulary.choices.get(" ".join(spoken), 0)
    if named:
        return named if named <= count else None
    if len(numbers) == 1 and all(r.role in _AROUND_CHOICE for r in rest):
        a = numbers[0]
        plain = a.sign == 0 and a.unit is None and a.sure and a.value == int(a.value)
        led = all(r.role == "amount" for r in rest) or _led(spoken, vocabulary)
        return int(a.value) if plain and led and 1 <= a.value <= count else None
    return None


def _says(word: str, vocabulary: Vocabulary) -> bool:
    """Whether a word is more than an article or a courtesy."""
    term = vocabulary.phrases.get(word, {}).get("")
    courteous = term is not None and term.role == "polite"
    return bool(word) and word not in vocabulary.skip and not courteous


def _led(spoken: list[str], vocabulary: Vocabulary) -> bool:
    return all(word in vocabulary.choices or word in vocabulary.numbers for word in spoken)


def _yes_or_no(rest: list[Item], words: list[str], vocabulary: Vocabulary) -> str | None:
    """yes or no, said alone or with nothing but courtesies ("yes it is", "no thanks")."""
    whole = vocabulary.whole
    spoken = [w for w in words if w and w not in vocabulary.skip]
    kinds = {whole[word][0] for word in [" ".join(spoken)] if word in whole}
    if spoken and all(whole.get(word, ("",))[0] == "yes" for word in spoken):
        kinds.add("yes")
    if all(item.role in ("no", "not", "not-before") for item in rest):
        kinds |= {whole[word][0] for word in words if word in whole}
    kinds &= {"yes", "no"}
    return kinds.pop() if len(kinds) == 1 else None


def _plot_chosen(
    said: list[Item],
    words: list[str],
    pending: Pending,
    plots: tuple[str, ...],
    codes: Codes,
    vocabulary: Vocabulary,
) -> Heard | None:
    said = [item for item in said if item.role != "plot"]
    if len(said) == 1 and said[0].role == "own":
        fits = [code for code in said[0].codes if code in plots]
        return _plot_taken(pending, fits[0]) if len(fits) == 1 else None
    number = _choice(said, words, len(plots), vocabulary)
    if number is not None:
        numbered = set(codes.numbered(str(number))) & set(plots)
        agrees = not numbered or numbered == {plots[number - 1]}
        return _plot_taken(pending, plots[number - 1]) if agrees else _plot_again(pending, plots)
    if len(said) == 1 and said[0].amount is not None and said[0].amount.sign == 0:
        fits = [c for c in codes.numbered(str(int(said[0].amount.value))) if c in plots]
        return _plot_taken(pending, fits[0]) if len(fits) == 1 else _plot_again(pending, plots)
    if len(plots) == 1 and _yes_or_no(said, words, vocabulary) == "yes":
        return _plot_taken(pending, plots[0])
    return None


def _taken(pending: Pending, level: float) -> Heard | None:
    if pending.plot is None:
        return None
    reading = Reading(pending.plot, level + 0.0)
    return Heard("accept", (reading,), flags=_FLAG, why="the answer settles our question")


def _again(pending: Pending, levels: tuple[float, ...]) -> Heard:
    ask = Ask(pending.plot, pending.about, levels)
    return Heard("ask", ask=(ask,), flags=_FLAG, why="the answer leaves more than one level")


def _plot_taken(pending: Pending, plot: str) -> Heard:
    if pending.level_cm is None and not pending.dry:
        return Heard("ask", ask=(Ask(plot, "number"),), flags=_FLAG, why="the level is still open")
    reading = Reading(plot, None if pending.dry else pending.level_cm, pending.dry)
    return Heard("accept", (reading,), flags=_FLAG, why="the answer names the plot")


def _plot_again(pending: Pending, plots: tuple[str, ...]) -> Heard:
    ask = Ask(None, "plot", plots, pending.level_cm, pending.dry)
    return Heard("ask", ask=(ask,), flags=_FLAG, why="the answer fits more than one plot")
