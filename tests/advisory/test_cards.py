"""The rows behind the blocks and the cards, on each kind of database."""

from gateway.advisory.blockviews import BlockLine
from tests.houses import READER, STRANGER, TestHouse


def cards_of(home: TestHouse, block: str) -> list[tuple[str, str]]:
    cards = home.house.app.extensions["desk"].cards.of_block(home.house.scheme, block)
    return [(card.code, card.words.language) for card in cards]


def test_a_block_is_counted_plot_by_plot(home: TestHouse) -> None:
    home.add_plot("K12")
    home.text(READER, "H07 BELOW 8")
    with home.house.store.begin() as unit:
        unit.schemes.add_block(home.scheme_id, "Lower", "L1", None)
        unit.commit()
    assert home.house.store.block_views.blocks(home.scheme_id) == [
        BlockLine("Lower", "L1", 0, 0, 0, 0, water_told=False),
        BlockLine("Upper", "U1", 2, 2, 1, 1, water_told=False),
    ]


def test_cards_come_by_code_in_the_language_of_their_readers(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, language="bn")
    home.add_plot("A03")
    assert cards_of(home, "Upper") == [("A03", "en"), ("H07", "en"), ("K12", "bn")]
    assert cards_of(home, "Lower\x00") == []


def test_who_chose_plain_letters_has_them_on_paper_too(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, language="bn")
    with home.house.store.begin() as unit:
        unit.people.set_letters(home.phones[STRANGER].id, "plain")
        unit.commit()
    assert ("K12", "bn-Latn") in cards_of(home, "Upper")


def test_a_phone_that_left_gives_a_card_no_language(home: TestHouse) -> None:
    home.add_plot("K12", STRANGER, language="bn")
    home.text(STRANGER, "STOP")
    assert ("K12", "en") in cards_of(home, "Upper")


def test_another_scheme_is_not_looked_into(home: TestHouse) -> None:
    views = home.house.store.block_views
    assert views.blocks(home.scheme_id + 1) == []
    assert views.of_block(home.scheme_id + 1, "Upper") == []
    assert views.of_plot(home.scheme_id + 1, "H07") == []
