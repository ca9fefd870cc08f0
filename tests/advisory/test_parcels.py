"""The transition table of the outbox, cell by cell, as the plan of the outbox states it."""

import itertools

import pytest

from gateway.advisory.errors import ForbiddenMove
from gateway.advisory.parcels import State, check_move

# from:            the states that may follow
ALLOWED = {
    "waiting": {"held", "claimed", "withdrawn", "expired"},
    "held": {"waiting", "withdrawn", "expired"},
    "claimed": {"waiting", "handed over", "in doubt"},
    "handed over": {"delivered", "undeliverable", "expired"},
    "in doubt": {"delivered", "undeliverable", "expired"},
    "delivered": set(),
    "undeliverable": {"delivered"},
    "expired": {"delivered"},
    "withdrawn": set(),
}


@pytest.mark.parametrize(("state", "to"), list(itertools.product(State, State)))
def test_each_cell_of_the_table_is_as_planned(state: State, to: State) -> None:
    if to in ALLOWED[state]:
        check_move(state, to)
    else:
        with pytest.raises(ForbiddenMove, match=f"does not go from {state} to {to}"):
            check_move(state, to)


def test_the_plan_names_every_state() -> None:
    assert set(ALLOWED) == set(State)
