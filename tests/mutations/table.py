"""The mutations: what is replaced, by what, and the tests that must then fail."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from itertools import count
from typing import Any

from gateway.advisory.mayleave import (
    CHECKS,
    is_awake,
    is_let_go,
    is_not_resting,
    is_within_budget,
    is_within_the_week,
)
from gateway.messages.segments import SegmentCount

ADVISORY, STORE = "tests/advisory", "tests/store"
STAGES, JUDGE = "tests/agronomy/test_stages.py", "tests/agronomy/test_judge.py"
TABLE = "tests/agronomy/test_judgement_table.py"
SEGMENTS = "tests/wording/test_segments.py"
WAY, DUTIES = f"{ADVISORY}/test_the_way_of_a_text.py", f"{ADVISORY}/test_duties.py"
CONSENT, JOINING = f"{ADVISORY}/test_consent.py", f"{ADVISORY}/test_joining.py"
MAY_LEAVE, BROADCASTS = f"{ADVISORY}/test_may_leave.py", f"{ADVISORY}/test_broadcasts.py"
PAUSE = f"{ADVISORY}/test_pause.py"
SEASON, SILENCE = f"{ADVISORY}/test_season_calendar.py", f"{ADVISORY}/test_silence.py"
AT_THE_DOOR = "gateway.advisory.mayleave:CHECKS"
FRESH = count()


@dataclass(frozen=True, slots=True)
class Mutation:
    """``target`` is ``module:name`` or ``module:Class.name``; ``by`` takes its place.

    ``tests`` are node ids of test functions; of each at least one case must fail.
    """

    about: str
    name: str
    target: str
    by: Any
    tests: tuple[str, ...]

    @property
    def id(self) -> str:
        """What the mutation is called."""
        return f"{self.about}: {self.name}"


def always(value: Any) -> Callable[..., Any]:
    """A function that gives one value, whatever it is asked."""
    return lambda *_args, **_named: value


def without(check: Callable[..., Any]) -> tuple[Callable[..., Any], ...]:
    """The checks at the door but for one."""
    return tuple(each for each in CHECKS if each is not check)


MUTATIONS = (
    # -- decision table --
    Mutation(
        "decision table",
        "every row fits",
        "gateway.agronomy.rules:Row.fits",
        always(True),
        (
            f"{TABLE}::test_the_advice_is_what_the_table_says",
            f"{JUDGE}::test_a_dry_tube_means_irrigate",
        ),
    ),
    Mutation(
        "decision table",
        "the last row decides",
        "gateway.agronomy.rules:RuleTable.first",
        lambda self, *_facts: self.rows[-1],
        (
            f"{JUDGE}::test_a_dry_tube_at_flowering_always_gets_water_the_same_day",
            f"{WAY}::test_a_level_below_the_threshold_is_watered",
        ),
    ),
    Mutation(
        "decision table",
        "every level is in range",
        "gateway.agronomy.rules:Range.holds",
        always(True),
        (f"{JUDGE}::test_the_plain_rules_hold_to_the_millimetre",),
    ),
    # -- segment count --
    Mutation(
        "segment count",
        "every text is one segment",
        "gateway.messages.segments:count_segments",
        always(SegmentCount("gsm7", 1, 1)),
        (
            f"{SEGMENTS}::test_a_text_costs",
            f"{SEGMENTS}::test_folding_saves_the_segment_that_one_quote_would_cost",
        ),
    ),
    Mutation(
        "segment count",
        "every letter is in the alphabet",
        "gateway.messages.segments:strange_letters",
        always(()),
        (f"{SEGMENTS}::test_a_text_costs",),
    ),
    # -- consent --
    Mutation(
        "consent",
        "leaving is not noted",
        "gateway.store.people:SqlPeople.set_left",
        always(None),
        (
            f"{DUTIES}::test_a_phone_that_left_is_owed_no_text",
            f"{DUTIES}::test_consent_is_asked_again_when_the_text_leaves",
            f"{WAY}::test_leaving_is_confirmed_once_and_answers_still_come",
        ),
    ),
    Mutation(
        "consent",
        "what waits for a phone that left is not withdrawn",
        "gateway.store.outbox:withdraw",
        always(None),
        (f"{STORE}/test_store_outbox.py::test_leaving_withdraws_held_pushes_and_nobody_elses",),
    ),
    Mutation(
        "consent",
        "every text may leave",
        "gateway.advisory.dispatch:Dispatch._may_leave",
        always(True),
        (f"{DUTIES}::test_quiet_hours_are_kept_even_for_a_text_that_was_put_earlier",),
    ),
    Mutation(
        "consent",
        "no phone is ever doubted",
        "gateway.advisory.consent:Doubt.__call__",
        always(None),
        (
            f"{CONSENT}::test_after_long_silence_a_question_without_a_name_goes_first",
            f"{CONSENT}::test_a_number_without_subscriber_gets_nothing_not_even_crop_safety",
        ),
    ),
    Mutation(
        "consent",
        "a notice goes to whoever left",
        "gateway.advisory.mayleave:consents",
        always(None),
        (f"{JOINING}::test_whoever_left_before_the_office_decided_gets_no_word_of_it",),
    ),
    Mutation(
        "consent",
        "nobody who reads a plot is asked before another may",
        "gateway.advisory.join:ask_holders",
        always(None),
        (f"{JOINING}::test_the_reader_of_the_plot_is_asked_and_a_yes_lets_the_phone_in",),
    ),
    # -- lease --
    Mutation(
        "lease",
        "no lease ever ends",
        "gateway.store.outbox:SqlOutbox.lapsed",
        always([]),
        (f"{WAY}::test_a_text_claimed_by_a_process_that_died_becomes_in_doubt",),
    ),
    Mutation(
        "lease",
        "every move is allowed",
        "gateway.advisory.parcels:check_move",
        always(None),
        (
            f"{STORE}/test_store_outbox.py::test_a_text_goes_where_the_table_has_a_way_and_nowhere_else",
        ),
    ),
    Mutation(
        "lease",
        "nothing is ever claimed",
        "gateway.store.outbox:SqlOutbox.claim",
        always([]),
        (
            f"{WAY}::test_of_two_houses_on_one_store_only_one_sends_a_text",
            f"{WAY}::test_a_delivered_answer_is_settled_by_its_receipt",
        ),
    ),
    # -- deduplication --
    Mutation(
        "deduplication",
        "every text is a new one",
        "gateway.advisory.records:Inbound.key",
        property(lambda self: f"ref:{next(FRESH)}"),
        (
            f"{WAY}::test_a_repeated_callback_changes_nothing_and_has_the_same_answer",
            f"{STORE}/test_store_texts.py::test_a_repeat_is_that_text_and_not_fresh",
        ),
    ),
    Mutation(
        "deduplication",
        "every text is the same one",
        "gateway.advisory.records:Inbound.key",
        property(always("ref:one")),
        (
            f"{WAY}::test_an_unsigned_number_is_asked_about_and_a_bare_below_settles_it",
            f"{STORE}/test_store_texts.py::test_without_a_reference_sender_body_and_time_make_a_text_one",
        ),
    ),
    Mutation(
        "deduplication",
        "no duty was ever owed before",
        "gateway.store.duties:SqlDuties.owed",
        always([]),
        (f"{DUTIES}::test_an_unsent_text_of_the_old_day_is_withdrawn_and_owed_anew",),
    ),
    # -- stage calendar --
    Mutation(
        "stage calendar",
        "the crop is always in tillering",
        "gateway.agronomy.stages:Calendar.stage_on",
        always("tillering"),
        (
            f"{STAGES}::test_the_stages_follow_each_other_through_the_season",
            f"{JUDGE}::test_heads_move_the_window_at_once",
            f"{WAY}::test_a_flowering_plot_with_little_water_is_topped_up",
        ),
    ),
    Mutation(
        "stage calendar",
        "the crop never flowers",
        "gateway.agronomy.stages:Calendar.is_flowering",
        always(False),
        (f"{STAGES}::test_the_stages_follow_each_other_through_the_season",),
    ),
    Mutation(
        "stage calendar",
        "no heads were ever reported",
        "gateway.agronomy.stages:_peak_seen",
        always((None, ())),
        (
            f"{STAGES}::test_the_latest_evidence_sets_the_peak",
            f"{STAGES}::test_moved_flowering_moves_the_end_of_the_season",
        ),
    ),
    # -- at the door --
    Mutation(
        "at the door",
        "a plot whose advice rests is reminded",
        AT_THE_DOOR,
        without(is_not_resting),
        (f"{PAUSE}::test_what_slipped_into_the_outbox_is_held_at_the_door",),
    ),
    Mutation(
        "at the door",
        "a broadcast that was paused leaves",
        AT_THE_DOOR,
        without(is_let_go),
        (
            f"{BROADCASTS}::test_a_text_that_waits_when_the_pause_comes_from_elsewhere_is_held_at_the_door",
        ),
    ),
    Mutation(
        "at the door",
        "texts leave at night",
        AT_THE_DOOR,
        without(is_awake),
        (
            f"{BROADCASTS}::test_at_night_it_waits_for_the_morning",
            f"{MAY_LEAVE}::test_a_text_that_became_forbidden_between_putting_and_sending_says_why",
            f"{MAY_LEAVE}::test_what_the_night_held_leaves_spread_over_the_morning",
        ),
    ),
    Mutation(
        "at the door",
        "a week has no limit",
        AT_THE_DOOR,
        without(is_within_the_week),
        (
            f"{MAY_LEAVE}::test_of_many_reminders_five_leave_in_a_week_and_the_rest_later",
            f"{MAY_LEAVE}::test_two_paid_answers_are_asked_for_in_a_week",
        ),
    ),
    Mutation(
        "at the door",
        "a month has no cap",
        AT_THE_DOOR,
        without(is_within_budget),
        (f"{ADVISORY}/test_budget.py::test_at_the_cap_a_broadcast_waits_and_an_answer_leaves",),
    ),
    # -- broadcasts --
    Mutation(
        "broadcasts",
        "their writer may release any",
        "gateway.advisory.broadcast:Broadcasting.needs_second",
        always(False),
        (f"{BROADCASTS}::test_above_so_many_phones_another_officer_releases_it",),
    ),
    Mutation(
        "broadcasts",
        "what waits is not held by a pause",
        "gateway.store.broadcasts:hold_texts",
        always(0),
        (f"{BROADCASTS}::test_paused_it_stays_goes_on_and_cancelled_it_never_leaves",),
    ),
    Mutation(
        "broadcasts",
        "what waits is not withdrawn by its end",
        "gateway.store.broadcasts:withdraw_texts",
        always(0),
        (f"{BROADCASTS}::test_paused_it_stays_goes_on_and_cancelled_it_never_leaves",),
    ),
    Mutation(
        "broadcasts",
        "all texts leave in one burst",
        "gateway.advisory.broadcast:spread_of",
        always(timedelta()),
        (f"{BROADCASTS}::test_gone_on_with_its_texts_are_spread_as_those_of_a_fresh_one",),
    ),
    # -- calendar --
    Mutation(
        "calendar",
        "what waits keeps the words of its first day",
        "gateway.advisory.owed:Owing._say_anew",
        always(None),
        (f"{SEASON}::test_what_waited_a_day_names_the_day_on_which_it_leaves",),
    ),
    Mutation(
        "calendar",
        "no plot is ever dry by now",
        "gateway.advisory.glance:Glance.is_dry_by_now",
        property(always(False)),
        (
            f"{SILENCE}::test_a_precaution_goes_when_the_forecast_sees_the_plot_at_its_limit_and_nobody_looks",
        ),
    ),
)
BY_ID = {mutation.id: mutation for mutation in MUTATIONS}
