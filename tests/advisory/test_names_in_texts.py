"""A phone that serves several growers reads whose plot a text is about; one alone does not."""

from gateway.advisory.explain import Explain
from tests.houses import READER, TestHouse


def test_the_growers_name_follows_the_plot_where_a_phone_serves_several(home: TestHouse) -> None:
    assert home.text(READER, "H07 ABOVE 9")[0].startswith("H07: ")
    home.add_plot("K12", READER)
    assert home.text(READER, "H07 ABOVE 9")[0].startswith("H07 Grower of H07: ")
    assert home.text(READER, "K12 ABOVE 9")[0].startswith("K12 Grower of K12: ")


def test_advice_with_a_name_is_explained_without_it(home: TestHouse) -> None:
    home.add_plot("K12", READER)
    home.text(READER, "K12 ABOVE 9")
    with home.house.store.begin(write=False) as unit:
        plot_id = unit.schemes.plot_id(home.scheme_id, "K12")
        record = unit.advices.latest(plot_id)
    assert record is not None
    explain: Explain = home.house.explain
    found = explain(record.id)
    assert found.same
    assert "Grower" not in record.text
