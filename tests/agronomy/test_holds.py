"""Spray, weed and submergence holds: from when to when."""

from dataclasses import replace
from datetime import date, time
from typing import Any

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.holds import Holds, holds_of
from gateway.agronomy.practice import SprayHold
from tests.agronomy.plots import book, days, in_stage

DAY = in_stage("tillering").as_of
PRACTICE = book().practice


def held(*events: Event) -> Holds:
    return holds_of(in_stage("tillering", events=events), PRACTICE)


def spray(ago: int, **parts: Any) -> Event:
    return Event("spray", DAY - days(ago), **parts)


@pytest.mark.parametrize(
    ("event", "free"),
    [
        (spray(0), 7),
        (spray(6), 1),
        (spray(7), None),
        (spray(7, hold_days=10), 3),
        (spray(3, hold_days=2), None),
        (spray(-1), None),
    ],
    ids=["today", "last day", "over", "its own longer", "its own shorter", "not yet"],
)
def test_nothing_leaves_the_plot_for_the_days_of_the_product(
    event: Event, free: int | None
) -> None:
    """Seven days where the product is not known: common practice, the label is the law."""
    assert held(event).free_on == (None if free is None else DAY + days(free))


def test_the_longest_of_several_sprays_counts() -> None:
    found = held(spray(5), spray(2, hold_days=1), spray(4, hold_days=30))
    assert (found.free_on, found.sprayed_on) == (DAY + days(26), DAY - days(4))


def test_the_offices_products_have_their_own_days() -> None:
    known = replace(PRACTICE.spray, products={"granule a": SprayHold(3, 24)})
    case = in_stage("tillering", events=(spray(4, product="Granule A "),))
    assert holds_of(case, replace(PRACTICE, spray=known)).free_on is None
    assert holds_of(case, PRACTICE).free_on == DAY + days(3)


@pytest.mark.parametrize(
    ("event", "entry"),
    [
        (spray(0, at=time(6)), 2),
        (spray(0, at=time(7)), 3),
        (spray(0), 3),
        (spray(0, reentry_hours=0, at=time(5)), None),
        (spray(0, reentry_hours=12, at=time(16)), 1),
        (spray(3), None),
    ],
    ids=["at dawn", "after dawn", "hour unknown", "none", "one night", "long ago"],
)
def test_nobody_walks_in_before_the_hours_are_over(event: Event, entry: int | None) -> None:
    assert held(event).entry_on == (None if entry is None else DAY + days(entry))


def weeds(ago: int, amount: Any = "many", at: time | None = None) -> Event:
    return Event("weeds", DAY - days(ago), amount=amount, at=at)


@pytest.mark.parametrize(
    ("events", "until"),
    [
        ([weeds(0)], 13),
        ([weeds(13)], 0),
        ([weeds(14)], None),
        ([weeds(3, None)], 10),
        ([weeds(3, "few")], None),
        ([weeds(5), weeds(2, "few")], None),
        ([weeds(2, "few"), weeds(5)], None),
        ([weeds(5, "few"), weeds(2)], 11),
        ([weeds(0, "few", time(9)), weeds(0, "many", time(8))], None),
        ([weeds(40)], None),
    ],
    ids=[
        "today",
        "last day",
        "over",
        "no amount is many",
        "few",
        "cleared since",
        "whatever the order of entry",
        "again",
        "by the hour",
        "another crop",
    ],
)
def test_many_weeds_keep_the_water_in(events: list[Event], until: int | None) -> None:
    """Two weeks; two to three are common practice, no source."""
    assert held(*events).weeds_until == (None if until is None else DAY + days(until))


def under(ago: int) -> Event:
    return Event("submerged", DAY - days(ago))


def read(ago: int, level: float | None = None) -> Event:
    return Event("reading", DAY - days(ago), level_cm=level, dry=level is None)


@pytest.mark.parametrize(
    ("events", "state"),
    [
        ([], "no"),
        ([under(0)], "under"),
        ([under(2), read(3, 2)], "under"),
        ([under(2), read(1, 18)], "under"),
        ([under(2), read(1, 4)], "recovering"),
        ([under(2), read(1)], "recovering"),
        ([under(2), read(1, 4), read(0, 14)], "under"),
        ([under(6)], "under"),
        ([under(7)], "under"),
        ([under(20)], "under"),
        ([under(21)], "no"),
        ([under(9), read(5, 2)], "recovering"),
        ([under(9), read(6, 2), read(3, 4)], "recovering"),
        ([under(9), read(7, 2)], "no"),
    ],
    ids=[
        "dry",
        "today",
        "read before",
        "still deep",
        "fallen",
        "dry tube",
        "again",
        "6 days",
        "a week, and nobody looked",
        "20 days, and nobody looked",
        "three weeks, and nobody looked",
        "fallen 5 days ago",
        "fallen 6 days ago",
        "fallen a week ago",
    ],
)
def test_a_submerged_plot_is_nursed_for_a_week_from_its_first_low_reading(
    events: list[Event], state: str
) -> None:
    assert held(*events).submerged == state


def test_weeds_no_longer_matter_under_a_closed_canopy() -> None:
    case = in_stage("grain-filling", events=(Event("weeds", date(2026, 3, 30), amount="many"),))
    assert holds_of(case, PRACTICE).weeds_until is not None
    assert holds_of(case, PRACTICE, weeds=False).weeds_until is None
