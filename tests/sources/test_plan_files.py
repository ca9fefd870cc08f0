"""A nitrogen plan from a file: taken only with its approver and its source."""

from datetime import date
from pathlib import Path

import pytest

from gateway.advisory.records import NitrogenPlan, NitrogenSplit
from gateway.flowfiles.plans import load_plan
from gateway.flowfiles.reader import FlowError
from tests.sources.office import BOUNDS, TODAY, write

PLAN = """\
name: Wet season
product: urea
n_percent: 46
approved_by: A. Approver
approved_on: 2026-01-05
source: field trials of the invented office
splits:
  - {from_day: 9, to_day: 14, kg_n_ha: 30}
  - {from_day: 40, to_day: 46, kg_n_ha: 35.5, plan_kg: 26}
"""


def load(folder: Path, text: str) -> NitrogenPlan:
    return load_plan(write(folder, text, "plan.yaml"), BOUNDS.plans, TODAY)


def test_a_plan_is_read_with_all_that_makes_it_one(tmp_path: Path) -> None:
    splits = (NitrogenSplit(9, 14, 30), NitrogenSplit(40, 46, 35.5, 26))
    assert load(tmp_path, PLAN) == NitrogenPlan(
        "Wet season",
        "urea",
        46,
        "A. Approver",
        date(2026, 1, 5),
        "field trials of the invented office",
        splits,
    )


WRONG = {
    "no approver": ("approved_by: A. Approver\n", "", ":1:1 the key approved_by is missing here"),
    "no source": ("source: field trials of the invented office\n", "", "key source is missing"),
    "blank approver": ("A. Approver", "", ":4:13 approved_by: need a text, got nothing"),
    "no name at all": ("A. Approver", "'-'", ":4:14 approved_by: need a name, got '-'"),
    "blank source": ("field trials of the invented office", "'  '", "source: need a name"),
    "day": ("2026-01-05", "5 January", ":5:14 approved_on: need a day such as"),
    "not yet": ("2026-01-05", "2026-03-11", "approved_on: need a day up to today, 2026-03-10"),
    "percent": ("46\n", "146\n", ":3:12 n_percent: need at least 1 and at most 82.5, got 146"),
    "set aside": ("plan_kg: 26", "plan_kg: 0", ":9:56 plan_kg: need at least 0.1 and at most 5000"),
    "dose": ("kg_n_ha: 30", "kg_n_ha: 300", ":8:40 kg_n_ha: need at least 1 and at most 150"),
    "backwards": ("to_day: 14", "to_day: 8", ":8:27 to_day: need at least 9"),
    "overlap": ("from_day: 40", "from_day: 14", ":9:16 from_day: need a day after 14"),
    "no splits": ("splits:\n  - {from_day: 9", "splits: []\nx:\n  - {from_day: 9", "unknown key"),
    "unknown": ("product:", "material:", ":2:1 material: unknown key; known here: name, product"),
}


@pytest.mark.parametrize(("old", "new", "said"), list(WRONG.values()), ids=list(WRONG))
def test_a_plan_that_cannot_be_taken_is_told_with_its_place(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    assert old in PLAN
    with pytest.raises(FlowError) as caught:
        load(tmp_path, PLAN.replace(old, new, 1))
    assert said in str(caught.value)


def test_a_plan_without_splits_is_none(tmp_path: Path) -> None:
    with pytest.raises(FlowError, match="splits: need at least one split"):
        load(tmp_path, PLAN[: PLAN.index("splits:")] + "splits: []\n")
