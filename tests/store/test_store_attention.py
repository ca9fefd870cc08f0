"""What the office must see today, counted by both databases alike."""

from datetime import timedelta

from gateway.advisory.attention import NoWaterLine
from gateway.agronomy.book import Event
from gateway.agronomy.plot import Plot
from gateway.store.engine import SqlStore
from tests.store.field import NOW, TODAY, sow

DAY = timedelta(days=1)


def test_plots_of_whose_soil_or_water_something_is_known_are_found(store: SqlStore) -> None:
    field, other = sow(store), sow(store, "OTHER")
    barred = Plot("H08", bars=frozenset({"saline", "cracking"}))
    with store.begin() as unit:
        for plot in (barred, Plot("H09", bars=frozenset()), Plot("H10", water_ec_ds_m=2.5)):
            unit.schemes.add_plot(field.scheme.id, field.block_id, plot)
        unit.schemes.add_plot(other.scheme.id, other.block_id, barred)
        unit.commit()
    found = store.attention_views.tested_plots(field.scheme.id)
    assert [each.plot for each in found] == [barred, Plot("H10", water_ec_ds_m=2.5)]
    assert {each.block for each in found} == {"Upper"}


def test_live_reports_of_no_water_are_counted_by_block(store: SqlStore) -> None:
    field = sow(store)
    sow(store, "OTHER")
    with store.begin() as unit:
        near = unit.schemes.add_plot(field.scheme.id, field.block_id, Plot("H08"))
        far_block = unit.schemes.add_block(field.scheme.id, "Far", "F1", None)
        far = unit.schemes.add_plot(field.scheme.id, far_block, Plot("F01"))
        told = [(field.plot_id, 0), (field.plot_id, 1), (near, 3), (far, 2), (far, 8)]
        rows = [
            unit.books.append(plot, Event("no-water", TODAY - n * DAY), "r", NOW)
            for plot, n in told
        ]
        unit.books.append(field.plot_id, Event("flooded", TODAY), "r", NOW, None, rows[1])
        unit.commit()
    found = store.attention_views.no_water(field.scheme.id, TODAY - 6 * DAY, TODAY)
    assert found == [
        NoWaterLine("Upper", 2, 2, 2, TODAY),
        NoWaterLine("Far", 1, 1, 1, TODAY - 2 * DAY),
    ]
