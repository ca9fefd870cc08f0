"""The commands by which an office enters what it knows; one thin function a command."""

import click

from gateway.settings import read_settings
from gateway.spoken import speaks_plainly


@click.group()
def scheme() -> None:
    """Irrigation schemes."""


@scheme.command("add")
@click.argument("code")
@click.option("--name", required=True, help="The scheme's full name.")
@click.option("--short-name", required=True, help="Opens each text that the office starts.")
@click.option("--zone", required=True, help="Time zone as Area/City, such as Asia/Manila.")
@click.option("--language", required=True, help="Language of phones that name no other.")
@click.option("--region", help="Two letters of the country from which local numbers are dialled.")
@speaks_plainly
def add_scheme(
    code: str, name: str, short_name: str, zone: str, language: str, region: str | None
) -> None:
    """Put a scheme on record."""
    from gateway.advisory.found import NewScheme, found_scheme
    from gateway.compose import open_house
    from gateway.flowfiles.catalogues import load_catalogues

    house = open_house(read_settings())
    languages = load_catalogues(house.settings.locales)
    new = NewScheme(code, name, short_name, zone, language, region)
    added = found_scheme(house.store, house.clock, new, languages.keys())
    click.echo(f"scheme {added.code} is on record, its days are those of {added.zone}")


OFFICE: tuple[click.Command, ...] = (scheme,)
