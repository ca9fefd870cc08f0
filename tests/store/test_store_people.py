"""Schemes, people, advice and the office on record."""

from datetime import date

import pytest
from sqlalchemy import select

from gateway.advisory.errors import AlreadyOnRecord
from gateway.advisory.records import (
    AdviceRecord,
    NitrogenPlan,
    PlotRead,
    Setting,
)
from gateway.agronomy.advice import Advice, Band, DateBand, Detail
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.agronomy.season import Season, Split
from gateway.store.engine import SqlStore
from gateway.store.plain import from_plain, to_plain
from gateway.store.tables.office import audit, office_user
from tests.store.field import NOW, OTHER, PLANTED, TODAY, Field, sow

PLAN = NitrogenPlan("Invented", "urea", 46, "A. Officer", TODAY, "the office", ())


def test_schemes_are_found_by_code_and_all_by_code(store: SqlStore) -> None:
    with store.begin() as unit:
        second = unit.schemes.add("B", "Beta", "B", "Asia/Manila", "en", "PH")
        first = unit.schemes.add("A", "Alpha", "A", "UTC", "fil")
        assert unit.schemes.all() == [first, second]
        assert unit.schemes.by_code("B") == second
    assert (second.zone, second.region, first.region) == ("Asia/Manila", "PH", None)


@pytest.mark.parametrize(
    ("kind", "add"),
    [
        ("scheme", lambda unit, f: unit.schemes.add(f.scheme.code, "", "", "UTC", "en")),
        ("block", lambda unit, f: unit.schemes.add_block(f.scheme.id, "Upper", "U2", None)),
        ("plot", lambda unit, f: unit.schemes.add_plot(f.scheme.id, f.block_id, Plot("H07"))),
        (
            "season",
            lambda unit, f: unit.schemes.add_season(f.plot_id, Season("wet-seeded", PLANTED)),
        ),
        ("nitrogen plan", lambda unit, f: [unit.schemes.add_plan(f.scheme.id, PLAN)] * 2),
        ("user", lambda unit, f: add_user(unit, f)),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_there_already_is_named(store: SqlStore, kind: str, add) -> None:
    field = sow(store)
    with store.begin() as unit:
        unit.schemes.add_plan(field.scheme.id, PLAN)
        add_user(unit, field)
        unit.commit()
    with pytest.raises(AlreadyOnRecord) as there, store.begin() as unit:
        add(unit, field)
    assert there.value.kind == kind


def test_another_scheme_may_use_the_same_codes(store: SqlStore) -> None:
    first, second = sow(store, "ONE"), sow(store, "TWO")
    with store.begin() as unit:
        assert unit.schemes.plot_id(first.scheme.id, "H07") == first.plot_id
        assert unit.schemes.plot_id(second.scheme.id, "H07") == second.plot_id
    assert first.plot_id != second.plot_id


# -- people ---------------------------------------------------------------------------------------


def test_a_reader_is_known_with_language_habit_and_plots(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        second = unit.schemes.add_plot(field.scheme.id, field.block_id, Plot("H03", rim_cm=18.5))
        unit.people.enrol_reader(field.phone.id, second, field.grower_id, "en", None, NOW)
        plots = unit.people.plots_of(field.phone.id)
        phone = unit.people.phone(field.phone.id)
        readers = unit.people.readers_of(second)
    assert plots == [
        PlotRead(second, "H03", None, 18.5, "A. Grower"),
        PlotRead(field.plot_id, "H07", "soil", None, "A. Grower"),
    ]
    assert (phone.known, phone.language, readers) == (True, "en", [phone])


def test_enrolling_again_changes_the_habit_and_adds_nothing(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        other = unit.schemes.add_grower(field.scheme.id, "B. Grower")
        unit.people.set_left(field.phone.id, True, NOW)
        unit.people.enrol_reader(field.phone.id, field.plot_id, other, "en", "rim", NOW)
        (plot,) = unit.people.plots_of(field.phone.id)
        assert (plot.reads, plot.grower) == ("rim", "B. Grower")
        assert unit.people.phone(field.phone.id).left


def test_leaving_and_returning_are_noted(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        for left in (True, True, False):
            unit.people.set_left(field.phone.id, left, NOW)
            assert unit.people.phone(field.phone.id).left is left
            assert unit.people.phone_of(field.scheme.id, field.phone.number, NOW).left is left


# -- advice ---------------------------------------------------------------------------------------

FULL = Advice(
    "H07",
    TODAY,
    "flowering",
    "top-up",
    ("flowering-window", "soil-not-checked"),
    Band(-1.5, 0.25, 2.0),
    DateBand(TODAY, None, date(2026, 3, 1)),
    TODAY,
    5.0,
    50.5,
    202.0,
    1.87,
    Detail(0.0, False, TODAY, TODAY, None, None, "urea", 12.5, False, True, TODAY, TODAY),
)
BARE = Advice("H07", TODAY, "unknown", "ask", ())
SETTINGS = [
    Setting(Plot("H07"), None, None),
    Setting(
        Plot(
            "H07",
            0.4,
            "clay",
            15.0,
            20.0,
            18.0,
            -20.0,
            -15.0,
            ThresholdRaised("A. Officer", TODAY, "deep clay"),
            frozenset({"saline", "acid-sulphate"}),
            30.0,
            "first-season",
        ),
        Season("dry-seeded", PLANTED, None, 110, TODAY, (Split(TODAY, TODAY, 86.9565217, "urea"),)),
        (WaterWindow(TODAY, TODAY, True), WaterWindow(TODAY, TODAY, False)),
    ),
    Setting(Plot("H07", bars=frozenset()), None, ()),
]


def keep(unit, field: Field, advice: Advice, setting: Setting) -> int:
    return unit.advices.keep(
        field.plot_id,
        field.season_id,
        field.scheme.id,
        NOW,
        setting,
        advice,
        "fil",
        "H07: tubig",
        "rules-1",
        "words-1",
        topic="advice",
    )


@pytest.mark.parametrize("advice", [FULL, BARE], ids=["full", "bare"])
@pytest.mark.parametrize("setting", SETTINGS, ids=["bare", "full", "asked"])
def test_advice_comes_back_as_it_was_given(
    store: SqlStore, advice: Advice, setting: Setting
) -> None:
    field = sow(store)
    with store.begin() as unit:
        number = keep(unit, field, advice, setting)
        found = unit.advices.get(number)
    assert found == AdviceRecord(
        number,
        field.plot_id,
        field.season_id,
        field.scheme.id,
        NOW,
        setting,
        advice,
        "fil",
        "H07: tubig",
        "rules-1",
        "words-1",
        None,
        "advice",
    )


def test_the_latest_advice_is_the_one_given_last(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        assert unit.advices.latest(field.plot_id) is None
        keep(unit, field, BARE, SETTINGS[0])
        keep(unit, field, FULL, SETTINGS[0])
        assert unit.advices.latest(field.plot_id).advice == FULL


def test_advice_from_before_a_field_was_there_takes_its_default() -> None:
    plain = to_plain(FULL)
    del plain["detail"]["too_dry"]
    plain["gone"] = "a field of another time"
    found = from_plain(Advice, plain)
    assert (found.detail.too_dry, found.detail.product) == (False, "urea")
    del plain["stage"]
    with pytest.raises(ValueError, match="stage"):
        from_plain(Advice, plain)


def test_a_paper_is_kept_once_under_its_digest(store: SqlStore) -> None:
    with store.begin() as unit:
        unit.advices.keep_paper("d1", {"rules.yaml": "first: é"})
        unit.advices.keep_paper("d1", {"rules.yaml": "second"})
        assert unit.advices.paper("d1") == {"rules.yaml": "first: é"}


# -- the office -----------------------------------------------------------------------------------


def add_user(unit, field: Field):
    return unit.office.add_user(field.scheme.id, "officer", "officer", "right words", NOW)


@pytest.mark.parametrize(
    ("name", "password", "welcome"),
    [
        ("officer", "right words", True),
        ("officer", "Right words", False),
        ("officer", "", False),
        ("nobody", "right words", False),
        ("nobody", "nobody", False),
    ],
)
def test_name_and_password_open_the_door(
    store: SqlStore, name: str, password: str, welcome: bool
) -> None:
    field = sow(store)
    with store.begin() as unit:
        user = add_user(unit, field)
        assert unit.office.check(name, password) == (user if welcome else None)


def test_who_is_no_longer_active_does_not_get_in(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        user = add_user(unit, field)
        unit.work.run(office_user.update().values(active=False))
        assert unit.office.check("officer", "right words") is None
        found = unit.office.user(user.id)
        assert (found.active, found.role) == (False, "officer")
        assert unit.office.user(999) is None


def test_a_password_is_kept_as_a_scrypt_hash(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        add_user(unit, field)
        row = unit.work.rows(select(office_user))[0]
    assert row.password.startswith("scrypt:")
    assert "right words" not in row.password


def test_what_the_office_did_is_noted_with_numbers_masked(store: SqlStore) -> None:
    field = sow(store)
    with store.begin() as unit:
        on = {"plot": "H07", "phone": OTHER, "bars": None, "n": 1, "ring": "+1 202 555 0108"}
        unit.office.audit(field.scheme.id, "officer", "raised a threshold", on, NOW)
        row = unit.work.rows(select(audit))[0]
    assert (row.who, row.what, row.at) == ("officer", "raised a threshold", NOW)
    assert row.on == {
        "plot": "H07",
        "phone": "•••••08",
        "bars": None,
        "n": 1,
        "ring": "•••••08",
    }
