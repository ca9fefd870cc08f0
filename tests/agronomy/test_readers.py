"""How far each reader strays is learned from dry-downs that are over, and from nothing else."""

from collections.abc import Iterator
from random import Random

import pytest

from gateway.agronomy.balance import MORNING, Balance
from gateway.agronomy.readers import LEAST, MOST, by_reader
from gateway.agronomy.spells import Sign
from tests.agronomy.books import day, forecast

FIRST = day(0).toordinal()
DRY = [0.0] * 400


def balance(rain: list[float]) -> Balance:
    sums = [0.0]
    for fallen in rain:
        sums.append(sums[-1] + fallen)
    return Balance(FIRST, [5.0 * n for n in range(len(sums))], sums, sums)


def dry_down(first: int, noise: float, rng: Random, reader: str | None = "R1") -> Iterator[Sign]:
    """A flooding and eight daily readings, half of them above the surface."""
    yield Sign(FIRST + first + 0.5, 5.0, 1.0, flooded=True)
    for number in range(1, 9):
        level = (5.0 - 1.2 * number) * (1 if number <= 4 else 2.0)
        seen = level + rng.gauss(0, noise)
        yield Sign(FIRST + first + number + MORNING, seen, 1.05, reader=reader)


def book(noise: float, dry_downs: int, seed: int = 1, reader: str | None = "R1") -> list[Sign]:
    rng = Random(seed)
    return [s for n in range(dry_downs) for s in dry_down(12 * n, noise, rng, reader)]


def last_noise(signs: list[Sign], rain: list[float] | None = None) -> float:
    return by_reader(signs, balance(rain or DRY), forecast().model)[-1].doubt_cm


def test_the_first_readings_of_a_reader_count_for_less() -> None:
    model = forecast().model
    told = [s.doubt_cm for s in by_reader(book(1.0, 1), balance(DRY), model) if not s.flooded]
    few = model.first_readings
    assert told == [model.first_noise_cm] * few + [model.reading_noise_cm] * (8 - few)


@pytest.mark.parametrize("seed", range(5))
def test_a_careless_reader_is_trusted_less_and_a_careful_one_more(seed: int) -> None:
    usual = forecast().model.reading_noise_cm
    assert last_noise(book(2.5, 12, seed)) > 1.25 * usual
    assert last_noise(book(0.3, 12, seed)) < 0.8 * usual
    assert last_noise(book(1.0, 12, seed)) == pytest.approx(usual, rel=0.3)


def test_no_reader_is_taken_for_better_or_worse_than_the_bounds() -> None:
    usual = forecast().model.reading_noise_cm
    assert LEAST * usual <= last_noise(book(0.0, 40)) < 0.6 * usual
    assert 1.4 * usual < last_noise(book(40.0, 40)) <= MOST * usual


def test_one_gross_error_does_not_make_a_careless_reader() -> None:
    signs = book(0.9, 6)
    wrong = signs[12]
    right = last_noise(signs)
    signs[12] = Sign(wrong.time, wrong.level_cm + 30, wrong.doubt_cm, reader="R1")
    assert last_noise(signs) < 1.35 * right


def test_readers_of_one_plot_are_told_apart() -> None:
    rng, signs = Random(2), []
    for number in range(10):
        noise, reader = ((2.5, "R1"), (0.5, "R2"))[number % 2]
        signs += dry_down(12 * number, noise, rng, reader)
    found = by_reader(signs, balance(DRY), forecast().model)
    by_name = {sign.reader: sign.doubt_cm for sign in found if sign.reader}
    assert by_name["R1"] > 1.4 * by_name["R2"]


def test_rain_between_readings_is_not_laid_to_the_reader() -> None:
    wet = [10.0 if n % 2 == 0 else 0.0 for n in range(400)]
    assert last_noise(book(2.5, 8), wet) == forecast().model.reading_noise_cm


def test_the_dry_down_that_runs_teaches_nothing_of_its_reader() -> None:
    signs = book(0.9, 4)
    for level in (-14.0, 0.0, 9.0):
        changed = [*signs[:-1], Sign(signs[-1].time, level, 1.05, reader="R1")]
        assert last_noise(changed) == last_noise(signs)


def test_a_book_that_does_not_say_who_read_stays_as_it_is() -> None:
    signs = book(2.5, 4, reader=None)
    assert by_reader(signs, balance(DRY), forecast().model) == signs
