"""Texts of the office to many: whom they reach, who releases them, how they pause and end."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import pytest
from sqlalchemy import select

from gateway.advisory.broadcasts import Audience, NotNow, Wording
from gateway.advisory.records import OfficeUser
from gateway.agronomy.plot import Plot
from gateway.compose import House
from gateway.store.tables.traffic import outbox
from tests.houses import READER, TestHouse, open_test_house
from tests.manyphones import (
    OWN,
    READ,
    number,
    officers,
    plots_listed,
    release,
    run,
    states,
    topic_count,
    write,
    written,
)

CLAY = Plot("X", 0.4, "clay-loam", 15.0, 20.0, 20.0, bars=frozenset())


@pytest.fixture
def home(database_url: str) -> Iterator[TestHouse]:
    """Four plots: two of one phone, one in Indonesian on sand, one that is not planted yet."""
    opened = open_test_house(database_url)
    opened.add_plot("H01", READER, planted_days_ago=62)
    opened.add_plot("H02", READER)
    opened.add_plot("K03", number(3), language="id", plot=replace(CLAY, soil="sandy"))
    opened.add_plot("K04", number(4), planted_days_ago=-60)
    yield opened
    opened.close()


@pytest.fixture
def two(home: TestHouse) -> tuple[OfficeUser, OfficeUser]:
    return officers(home)


BOTH = Wording(own={**OWN.own, "id": "{scheme}: kantor tutup Jumat. Balas TOLONG"}, read_by=READ)


def test_each_phone_gets_one_text_in_its_own_language_however_many_plots_it_reads(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    made = write(home, two[0], written(home, wording=BOTH))
    assert topic_count(home, made) == 0
    release(home, two[0], made)
    run(home.house, home)
    assert states(home, made) == {"delivered": 3}
    phones = home.house.simulators["simulator"]
    assert [t.text for t in phones.inbox(READER)] == [
        "Trial Office: the office is shut on Friday. Text HELP"
    ]
    assert phones.inbox(number(3))[0].text == "Trial Office: kantor tutup Jumat. Balas TOLONG"


def test_to_put_it_again_puts_nothing(home: TestHouse, two: tuple[OfficeUser, OfficeUser]) -> None:
    made = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], made)
    assert home.house.put_broadcasts() == 3
    with home.house.store.begin() as unit:
        unit.broadcasts.was_put(made, 0, None)  # as if what was put had not been noted
        unit.commit()
    home.house.put_broadcasts()
    assert topic_count(home, made) == 3


@pytest.mark.parametrize(
    ("audience", "plots"),
    [
        (Audience(), ["H01", "H02", "K03", "K04"]),
        (Audience(blocks=("Upper",)), ["H01", "H02", "K03", "K04"]),
        (Audience(blocks=("Nowhere",)), []),
        (Audience(languages=("id",)), ["K03"]),
        (Audience(soils=("sandy", "clay")), ["K03"]),
        (Audience(stages=("before-planting",)), ["K04"]),
        (Audience(stages=("tillering", "panicle"), languages=("en",)), ["H01", "H02"]),
        (Audience(waters=("below",)), ["H02"]),
        (Audience(waters=("standing", "untold")), ["H01", "K03", "K04"]),
        (Audience(habits=("seldom",)), ["H02", "K03"]),
        (Audience(habits=("regular",)), []),
        (Audience(habits=("silent",), blocks=("Upper",)), ["H01", "K04"]),
    ],
)
def test_the_list_holds_whom_the_office_means(
    home: TestHouse,
    two: tuple[OfficeUser, OfficeUser],
    audience: Audience,
    plots: list[str],
) -> None:
    home.text(READER, "H02 BELOW 8")
    home.text(number(3), "K03 ATAS 4")
    made = write(home, two[0], written(home, audience, wording=BOTH))
    assert plots_listed(home, made) == plots


def test_whoever_left_is_not_listed_and_who_leaves_meanwhile_gets_nothing(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    made = write(home, two[0], written(home, wording=BOTH))
    home.text(number(4), "LEAVE")
    again = write(home, two[0], written(home, wording=BOTH))
    assert plots_listed(home, again) == ["H01", "H02", "K03"]
    release(home, two[0], made)
    run(home.house, home)
    assert states(home, made) == {"delivered": 2, "withdrawn": 1}


def test_a_catalogue_text_names_its_days_in_each_language(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    days = {"start": date(2026, 3, 12), "until": date(2026, 3, 15)}
    words = Wording("broadcast.canal-shut", days, read_by=READ)
    made = write(home, two[0], written(home, wording=words))
    release(home, two[0], made)
    run(home.house, home)
    phones = home.house.simulators["simulator"]
    assert "shut from Thu 12 Mar until Sun 15 Mar" in phones.inbox(READER)[0].text
    assert "ditutup dari Kam 12 Mar sampai Min 15 Mar" in phones.inbox(number(3))[0].text


@pytest.mark.parametrize(
    ("changes", "cure"),
    [
        ({}, "no words"),
        ({"wording": replace(BOTH, read_by={"en": "N. Neighbour"})}, "draft"),
        ({"audience": Audience(blocks=("Nowhere",))}, "Nobody"),
        ({"leaves_at": None}, "over"),
        ({"wording": BOTH, "safety": True}, "Another officer"),
    ],
)
def test_what_may_not_be_released_says_what_to_do_first(
    home: TestHouse,
    two: tuple[OfficeUser, OfficeUser],
    changes: dict[str, object],
    cure: str,
) -> None:
    if "leaves_at" in changes:
        changes = {"leaves_at": home.clock.now() - timedelta(days=3), "wording": BOTH}
    made = write(home, two[0], written(home, **changes))  # type: ignore[arg-type]
    with pytest.raises(NotNow, match=cure):
        release(home, two[0], made)
    assert home.house.put_broadcasts() == 0


def test_above_so_many_phones_another_officer_releases_it(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    customs = replace(home.house.broadcast_customs, second_officer_above=2)
    home.house.broadcast_customs = customs
    made = write(home, two[0], written(home, wording=BOTH))
    with pytest.raises(NotNow, match="Another officer"):
        release(home, two[0], made)
    release(home, two[1], made)
    assert home.house.put_broadcasts() == 3


def test_who_releases_must_have_seen_what_is_written_now(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    made = write(home, two[0], written(home, wording=BOTH))
    scheme, use = home.house.scheme, home.house.broadcasting
    seen = home.clock.now()
    home.clock.move(timedelta(minutes=1))
    use.write(scheme, two[0], written(home, wording=BOTH, title="Other"), made)
    with pytest.raises(NotNow, match="changed"):
        use.release(scheme, two[1], made, seen)
    release(home, two[1], made)
    with pytest.raises(NotNow, match="not changed any more"):
        use.write(scheme, two[0], written(home, wording=BOTH), made)


def test_paused_it_stays_goes_on_and_cancelled_it_never_leaves(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    scheme, use = home.house.scheme, home.house.broadcasting
    made = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], made)
    home.house.put_broadcasts()
    use.pause(scheme, two[1], made)
    assert states(home, made) == {"held": 3}
    run(home.house, home)
    assert states(home, made) == {"held": 3}
    use.go_on(scheme, two[1], made)
    assert states(home, made) == {"waiting": 3}
    home.house.dispatchers["simulator"]()
    again = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], again)
    home.house.put_broadcasts()
    use.cancel(scheme, two[0], again)
    assert states(home, again) == {"withdrawn": 3}
    run(home.house, home)
    assert states(home, made) == {"delivered": 3}
    assert states(home, again) == {"withdrawn": 3}
    with pytest.raises(NotNow):
        use.go_on(scheme, two[1], again)


def test_gone_on_with_its_texts_are_spread_as_those_of_a_fresh_one(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    use, scheme = home.house.broadcasting, home.house.scheme
    made = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], made)
    home.house.put_broadcasts()

    def leaving() -> list[timedelta]:
        with home.house.store.begin_work(write=False) as work:
            rows = work.rows(select(outbox.c.not_before).order_by(outbox.c.id))
        return [row.not_before - home.clock.now() for row in rows]

    fresh = leaving()
    use.pause(scheme, two[1], made)
    home.clock.move(timedelta(hours=2))
    use.go_on(scheme, two[1], made)
    assert leaving() == fresh
    assert len(set(fresh)) == 3


def test_a_text_that_waits_when_the_pause_comes_from_elsewhere_is_held_at_the_door(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    made = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], made)
    home.house.put_broadcasts()
    with home.house.store.begin() as unit:
        assert unit.broadcasts.change(made, "released", "paused", "maro", home.clock.now())
        unit.commit()
    run(home.house, home)
    assert states(home, made) == {"held": 3}


def test_at_night_it_waits_for_the_morning(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    home.clock.move(timedelta(hours=13))  # 22:00 in the scheme's zone
    made = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], made)
    run(home.house, home)
    assert states(home, made) == {"held": 3}
    home.clock.move(timedelta(hours=7))
    run(home.house, home)
    assert states(home, made) == {"delivered": 3}


def test_a_test_goes_to_one_phone_and_is_none_of_the_broadcasts_texts(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    made = write(home, two[0], written(home, wording=BOTH))
    use, scheme = home.house.broadcasting, home.house.scheme
    assert use.try_on(scheme, two[0], made, number(77).reveal()) == 2
    home.settle()
    assert len(home.house.simulators["simulator"].inbox(number(77))) == 2
    assert topic_count(home, made) == 0
    for _ in range(4):
        use.try_on(scheme, two[0], made, number(77).reveal())
    with pytest.raises(NotNow, match="10 tests"):
        use.try_on(scheme, two[0], made, number(77).reveal())


def test_replies_that_followed_are_counted_and_shown_masked(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    home.text(READER, "H01 BELOW 3")  # before it: no reply
    made = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], made)
    run(home.house, home)
    home.text(READER, "H02 BELOW 8 call +12025550143")
    home.text(number(3), "terima kasih")
    home.clock.move(timedelta(days=4))
    home.text(READER, "H01 BELOW 5")  # long after it
    within = home.house.broadcast_customs.replies
    views = home.house.store.broadcast_views
    lines, counts = views.replies(home.scheme_id, made, within, 50)
    assert [line.growers for line in lines] == [
        ("Grower of K03",),
        ("Grower of H01", "Grower of H02"),
    ]
    assert sum(counts.values()) == 2
    assert "12025550143" not in lines[1].body


def test_many_processes_put_each_text_once(
    home: TestHouse, two: tuple[OfficeUser, OfficeUser]
) -> None:
    for place in range(10, 40):
        home.add_plot(f"P{place}", number(place))
    few = replace(home.house.broadcast_customs, batch=4)
    other = House(home.house.settings, home.clock, {})
    home.others.append(other)
    home.house.broadcast_customs = other.broadcast_customs = few
    made = write(home, two[0], written(home, wording=BOTH))
    release(home, two[0], made)
    put = [0, 0]
    for _ in range(20):
        put[0] += home.house.put_broadcasts.step() or 0
        put[1] += other.put_broadcasts.step() or 0
    assert sum(put) == topic_count(home, made) == 33
    assert min(put) >= 12
