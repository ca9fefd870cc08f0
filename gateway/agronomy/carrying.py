"""What a season taught of how its plot loses water, carried into the next."""

from gateway.agronomy.case import Case
from gateway.agronomy.footing import footing_of
from gateway.agronomy.habit import Belief
from gateway.agronomy.learning import learned
from gateway.agronomy.posterior import next_season
from gateway.agronomy.rules import RuleBook
from gateway.agronomy.sight import believable
from gateway.agronomy.stages import calendar_for


def habit_after(case: Case, book: RuleBook) -> Belief | None:
    """The belief to begin the next season with; ``case`` is the old one at its end.

    None where nothing was read in it, nor in any season before.
    """
    practice = book.practice_of(case.plot.profile)
    if case.season is None:
        return case.habit
    calendar = calendar_for(case, case.season, practice)
    footing = footing_of(believable(case, practice), calendar, practice)
    model = practice.forecast.model
    if not footing.signs:
        return case.habit and next_season(case.habit, model)
    return next_season(learned(footing.belief, footing.spell.read, model), model)
