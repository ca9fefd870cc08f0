"""The kept posterior is a cache that changes nothing; habits outlive their seasons."""

from dataclasses import replace
from datetime import timedelta

from gateway.agronomy.carrying import habit_after
from gateway.agronomy.case import Case
from gateway.agronomy.habit import Belief, Posterior
from gateway.agronomy.judge import judge, judge_and_learn
from gateway.agronomy.learning import learned
from gateway.agronomy.posterior import LATEST
from tests.agronomy.books import case_on, falling, flooded, reading, weather
from tests.agronomy.plots import book

# Two dry-downs that are over, and one that runs: it falls fast.
SEASON = [*falling(0, 3, -2, -9, -16), *falling(9, 3, -2, -9, -16), flooded(18), reading(20, 3)]
TODAY = 21


def season(**changes: object) -> Case:
    return replace(case_on(TODAY, SEASON), **changes)


def learned_of(case: Case) -> Posterior:
    found = judge_and_learn(case, book()).posterior
    assert found is not None
    return found


def test_what_was_kept_is_taken_only_where_it_follows_from_the_very_same_book() -> None:
    true = learned_of(season())
    false = Belief(tuple(value + 1 for value in true.belief.mean), true.belief.covariance)
    believed = season(kept=Posterior(true.sign, false))
    assert judge(believed, book()) != judge(season(), book())
    for other in ("", true.sign[:-1] + "x"):
        assert judge(season(kept=Posterior(other, false)), book()) == judge(season(), book())


def test_what_was_kept_gives_the_advice_and_the_posterior_that_replay_gives() -> None:
    kept = season(kept=learned_of(season()))
    assert judge_and_learn(kept, book()) == judge_and_learn(season(), book())


def test_what_was_kept_before_the_last_dry_down_spares_all_but_that_one() -> None:
    before = learned_of(season())
    grown = season(events=(*SEASON, flooded(TODAY)))
    LATEST.clear()
    onward = judge_and_learn(replace(grown, kept=before), book())
    LATEST.clear()
    learned.cache_clear()
    assert onward == judge_and_learn(grown, book())
    false = replace(before, belief=learned_of(grown).belief)
    assert judge_and_learn(replace(grown, kept=false), book()) != onward  # it was taken at its word
    assert judge_and_learn(grown, book()) == onward  # and nothing of it was remembered


def test_a_reading_the_weather_and_an_earlier_habit_each_change_the_sign() -> None:
    sign = learned_of(season()).sign
    read = replace(SEASON[2], level_cm=-3.0)
    others = (
        season(events=(*SEASON[:2], read, *SEASON[3:])),
        season(weather=tuple(weather(TODAY + 10, rain={4: 12.0}))),
        season(habit=learned_of(season()).belief),
    )
    assert len({sign, *(learned_of(other).sign for other in others)}) == 4


def test_a_reading_of_the_dry_down_that_runs_leaves_what_is_kept_as_it_is() -> None:
    more = season(events=(*SEASON, reading(TODAY, 1)))
    assert learned_of(more) == learned_of(season())


def test_a_plot_that_fell_fast_last_season_is_expected_to_fall_fast_from_the_start() -> None:
    habit = habit_after(season(), book())
    assert habit is not None
    start = [flooded(0), reading(2, 4)]
    fresh, known = case_on(3, start), replace(case_on(3, start), habit=habit)
    without, told = judge(fresh, book()).threshold_on, judge(known, book()).threshold_on
    assert without.p50 is not None
    assert told.p50 is not None
    assert told.p50 < without.p50
    assert width(told) < width(without)


def test_a_habit_is_held_less_surely_in_the_next_season() -> None:
    end = habit_after(season(), book())
    assert end is not None
    assert all(a > b for a, b in zip(spread(end), spread(learned_of(season()).belief), strict=True))


def test_a_season_in_which_nothing_was_read_passes_on_what_it_was_given() -> None:
    habit = learned_of(season()).belief
    idle = replace(case_on(TODAY, []), habit=habit)
    passed = habit_after(idle, book())
    assert passed is not None
    assert passed.mean == habit.mean
    assert habit_after(case_on(TODAY, []), book()) is None


def spread(belief: Belief) -> list[float]:
    """The variances."""
    return [belief.covariance[5 * place] for place in range(4)]


def width(band: object) -> timedelta:
    return band.p90 - band.p10  # type: ignore[attr-defined,no-any-return]
