"""What every command shares: how it speaks when something is wrong, and the house it works in."""

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, ParamSpec, TypeVar

import click

from gateway.settings import SettingsError, read_settings

if TYPE_CHECKING:
    from gateway.compose import House

P = ParamSpec("P")
R = TypeVar("R")


def speaks_plainly(command: Callable[P, R]) -> Callable[P, R]:
    """What goes wrong is said in words and ends with code 1; a traceback is for true faults."""

    @wraps(command)
    def spoken(*args: P.args, **kwargs: P.kwargs) -> R:
        from gateway.advisory.errors import GatewayError
        from gateway.flowfiles.reader import FlowError

        try:
            return command(*args, **kwargs)
        except (SettingsError, FlowError, GatewayError) as error:
            raise click.ClickException(str(error)) from None

    return spoken


def the_house() -> "House":
    """The house of this process's settings."""
    from gateway.compose import open_house

    return open_house(read_settings())
