"""The console's queries."""

from datetime import timedelta

import pytest

from gateway.advisory.errors import NotOnRecord
from gateway.advisory.parcels import State
from gateway.advisory.records import Setting, Understood
from gateway.advisory.views import LogFilter
from gateway.agronomy.advice import Advice, Band, Detail
from gateway.agronomy.book import Event
from gateway.agronomy.plot import Plot
from gateway.store.engine import SqlStore
from tests.store.field import NOW, NUMBER, OTHER, TODAY, Field, parcel, sow, text

MINUTE = timedelta(minutes=1)
DIGITS = NUMBER.reveal().removeprefix("+")


@pytest.fixture
def field(store: SqlStore) -> Field:
    """Three texts in, of which one is answered twice and one is a stranger's; two texts started."""
    sown = sow(store)
    with store.begin() as unit:
        scheme, plots = sown.scheme.id, unit.schemes
        lower = plots.add_block(scheme, "Lower", "L1", None)
        second = plots.add_plot(scheme, lower, Plot("K01"))
        unit.people.enrol_reader(sown.phone.id, second, sown.grower_id, "en", None, NOW)
        read = unit.texts.keep(scheme, text("H07 -12 ÉTÉ", "1"), NOW)
        unit.books.append(sown.plot_id, Event("reading", TODAY, level_cm=-12), "r", NOW, read.id)
        unit.texts.settle(read.id, Understood("accept", "reading -12", {}))
        first = unit.outbox.put(parcel(sown, in_reply_to=read.id, text="H07: wait"), NOW)
        unit.outbox.put(parcel(sown, in_reply_to=read.id, text="note"), NOW)
        unit.outbox.claim("simulator", NOW, MINUTE, 1)
        unit.outbox.move(first, State.CLAIMED, State.HANDED_OVER, NOW, words=f"to {DIGITS}")
        later = NOW + MINUTE
        asked = unit.texts.keep(scheme, text("K01 15", "2", received_at=later), later)
        unit.questions.put(sown.phone.id, second, "sign", (-15, 15), later + MINUTE, asked.id)
        unit.texts.settle(asked.id, Understood("ask", "sign?", {}))
        latest = NOW + 2 * MINUTE
        unit.texts.keep(
            scheme, text(f"ring {DIGITS}", "3", sender=OTHER, received_at=latest), latest
        )
        started = NOW + 3 * MINUTE
        unit.outbox.put(parcel(sown, kind="duty", plot_id=sown.plot_id, text="100% H07"), started)
        unit.outbox.put(parcel(sown, kind="broadcast", text="to all"), started + MINUTE)
        unit.commit()
    return sown


def bodies(store: SqlStore, field: Field, **wanted) -> list[str | None]:
    page = store.views.reply_log(field.scheme.id, LogFilter(**wanted), 1, 50)
    assert page.total == len(page.lines)
    return [line.body or line.sent[0].text for line in page.lines]


ALL = ["to all", "100% H07", "ring •••••07", "K01 15", "H07 -12 ÉTÉ"]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ({}, [0, 1, 2, 3, 4]),
        ({"since": NOW + MINUTE}, [0, 1, 2, 3]),
        ({"until": NOW + MINUTE}, [4]),
        ({"since": NOW + MINUTE, "until": NOW + 3 * MINUTE}, [2, 3]),
        ({"plot": "H07"}, [1, 4]),
        ({"plot": "h07"}, [1, 4]),
        ({"plot": "K01"}, [3]),
        ({"plot": "ZZ9"}, []),
        ({"block": "Lower"}, [3]),
        ({"block": "Upper"}, [1, 4]),
        ({"block": "Upper", "plot": "K01"}, []),
        ({"outcome": "accept"}, [4]),
        ({"outcome": "ask"}, [3]),
        ({"state": "handed over"}, [4]),
        ({"state": "waiting"}, [0, 1, 4]),
        ({"direction": "in"}, [2, 3, 4]),
        ({"direction": "out"}, [0, 1]),
        ({"direction": "out", "outcome": "accept"}, []),
        ({"words": "été"}, [4]),
        ({"words": "e\u0301te\u0301"}, [4]),
        ({"words": "WAIT"}, [4]),
        ({"words": "100%"}, [1]),
        ({"words": "%"}, [1]),
        ({"words": "_"}, []),
        ({"words": "K01", "outcome": "ask"}, [3]),
    ],
    ids=lambda value: (
        "-".join(f"{k}={v}" for k, v in value.items()) if value and isinstance(value, dict) else ""
    ),
)
def test_the_reply_log_shows_what_is_wanted_newest_first(
    store: SqlStore, field: Field, wanted, found: list[int]
) -> None:
    assert bodies(store, field, **wanted) == [ALL[number] for number in found]


def test_a_line_holds_who_what_and_the_answers(store: SqlStore, field: Field) -> None:
    line = store.views.reply_log(field.scheme.id, LogFilter(outcome="accept"), 1, 9).lines[0]
    assert (line.at, line.who, line.phone, line.phone_id) == (
        NOW,
        "A. Grower",
        "•••••07",
        field.phone.id,
    )
    assert (line.plots, line.carrier, line.understood) == (("H07",), "simulator", "reading -12")
    assert [(sent.text, sent.state) for sent in line.sent] == [
        ("H07: wait", "handed over"),
        ("note", "waiting"),
    ]
    assert line.sent[0].words == "to •••••07"


def test_the_plots_of_a_question_and_of_a_started_text_are_shown(
    store: SqlStore, field: Field
) -> None:
    lines = store.views.reply_log(field.scheme.id, LogFilter(), 1, 9).lines
    assert [line.plots for line in lines] == [(), ("H07",), (), ("K01",), ("H07",)]


def test_pages_cut_the_log_and_none_is_past_the_end(store: SqlStore, field: Field) -> None:
    pages = [store.views.reply_log(field.scheme.id, LogFilter(), n, 2) for n in (1, 2, 3)]
    assert [line.at for page in pages for line in page.lines] == [
        line.at for line in store.views.reply_log(field.scheme.id, LogFilter(), 1, 9).lines
    ]
    assert [(page.page, page.pages, page.total) for page in pages] == [
        (1, 3, 5),
        (2, 3, 5),
        (3, 3, 5),
    ]
    beyond = store.views.reply_log(field.scheme.id, LogFilter(), 99, 2)
    assert (beyond.page, beyond.lines) == (3, pages[2].lines)
    nothing = store.views.reply_log(field.scheme.id, LogFilter(plot="ZZ9"), 1, 2)
    assert (nothing.page, nothing.pages, nothing.total, nothing.lines) == (1, 1, 0, ())


def test_a_thread_is_one_phones_oldest_first(store: SqlStore, field: Field) -> None:
    thread = store.views.thread(field.scheme.id, field.phone.id, 3)
    assert [line.body or line.sent[0].text for line in thread] == ["K01 15", "100% H07", "to all"]


def test_another_scheme_sees_nothing_of_this_one(store: SqlStore, field: Field) -> None:
    other = sow(store, "OTHER")
    views = store.views
    assert views.reply_log(other.scheme.id, LogFilter(), 1, 9).total == 0
    assert views.thread(other.scheme.id, field.phone.id, 9) == []
    assert views.counts(other.scheme.id, NOW) == {}
    assert [line.plot_id for line in views.plots(other.scheme.id)] == [other.plot_id]
    assert [phone.phone_id for phone in views.handsets(other.scheme.id)] == [other.phone.id]


def test_plots_are_listed_with_their_newest_advice(store: SqlStore, field: Field) -> None:
    with store.begin() as unit:
        for action, level in (("wait", Band(-13, -12, -11)), ("reflood", None)):
            unit.advices.keep(
                field.plot_id,
                None,
                field.scheme.id,
                NOW,
                Setting(Plot("H07"), None, None),
                Advice(
                    "H07",
                    TODAY,
                    "tillering",
                    action,
                    (),
                    level,
                    next_reading_on=TODAY,
                    detail=Detail(seen_cm=-16.0),
                ),
                "en",
                "words",
                "d",
                "d",
            )
        unit.commit()
    first, second = store.views.plots(field.scheme.id)
    assert (first.code, first.block, first.grower) == ("H07", "Upper", "A. Grower")
    assert (first.stage, first.action, first.level_cm) == ("tillering", "reflood", -16.0)
    assert (first.next_reading_on, first.advised_at) == (TODAY.isoformat(), NOW)
    assert (second.code, second.block, second.grower) == ("K01", "Lower", "A. Grower")
    assert (second.stage, second.action, second.level_cm, second.advised_at) == (None,) * 4


def test_the_title_of_a_plot_names_block_grower_and_masked_phones(
    store: SqlStore, field: Field
) -> None:
    title = store.views.plot_title(field.scheme.id, "H07")
    assert title == (field.plot_id, "Upper", "A. Grower", ("•••••07",))
    with pytest.raises(NotOnRecord):
        store.views.plot_title(field.scheme.id, "ZZ9")


def test_handsets_are_all_phones_those_of_nobody_last(store: SqlStore, field: Field) -> None:
    with store.begin() as unit:
        unit.people.set_left(field.phone.id, True, NOW)
        nobody = unit.people.phone_of(field.scheme.id, OTHER, NOW)
        unit.commit()
    handset, other = store.views.handsets(field.scheme.id)
    assert (other.phone_id, other.grower, other.plots) == (nobody.id, "", ())
    assert (handset.phone_id, handset.grower, handset.number) == (
        field.phone.id,
        "A. Grower",
        "•••••07",
    )
    assert (handset.plots, handset.language, handset.left) == (("H07", "K01"), "en", True)


def test_unreadable_callbacks_are_listed_newest_first_by_size(store: SqlStore) -> None:
    with store.begin() as unit:
        unit.texts.keep_unreadable("simulator", b"abc", "no body", NOW)
        unit.texts.keep_unreadable("simulator", b"", f"odd {DIGITS}", NOW + MINUTE)
        unit.commit()
    lines = store.views.unreadable(9)
    assert [(line.at, line.cause, line.size) for line in lines] == [
        (NOW + MINUTE, "odd •••••07", 0),
        (NOW, "no body", 3),
    ]
    assert store.views.unreadable(1) == lines[:1]


def test_texts_are_counted_by_outcome_and_state(store: SqlStore, field: Field) -> None:
    assert store.views.counts(field.scheme.id, NOW) == {
        "in accept": 1,
        "in ask": 1,
        "in unsettled": 1,
        "out handed over": 1,
        "out waiting": 3,
    }
    assert store.views.counts(field.scheme.id, NOW + 2 * MINUTE) == {
        "in unsettled": 1,
        "out waiting": 2,
    }
