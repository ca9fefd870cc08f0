"""The commands by which an office enters what it knows; one thin function a command."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from gateway.spoken import speaks_plainly, the_house

if TYPE_CHECKING:
    from gateway.advisory.changes import Changes

SHEET = click.argument("sheet", type=click.Path(path_type=Path))
CHECK = click.option("--check", is_flag=True, help="Say what would change, and write nothing.")


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

    house = the_house()
    new = NewScheme(code, name, short_name, zone, language, region)
    added = found_scheme(house.store, house.clock, new, house.papers.catalogues.keys())
    click.echo(f"scheme {added.code} is on record, its days are those of {added.zone}")


@click.command()
@SHEET
@CHECK
@speaks_plainly
def enrol(sheet: Path, check: bool) -> None:
    """Enrol the plots, phones and crops of SHEET, a CSV or XLSX file: all of it, or nothing."""
    from gateway.intake import enrol_plots

    _tell(enrol_plots(the_house(), sheet, check), check)


@click.group()
def plan() -> None:
    """Locally approved nitrogen plans."""


@plan.command("add")
@click.argument("plan_file", metavar="PLAN", type=click.Path(path_type=Path))
@speaks_plainly
def add_plan(plan_file: Path) -> None:
    """Put the nitrogen plan of PLAN, a YAML file, on record; a sheet's column plan names it."""
    from gateway.intake import approve_plan

    added = approve_plan(the_house(), plan_file)
    click.echo(f"the plan {added.name}, approved by {added.approved_by}, is on record")


@click.group()
def weather() -> None:
    """Daily weather of the scheme."""


@weather.command("load")
@SHEET
@CHECK
@speaks_plainly
def load_weather(sheet: Path, check: bool) -> None:
    """Take the daily weather of SHEET, a CSV or XLSX file; what is told of a day later counts."""
    from gateway.intake import take_weather

    _tell(take_weather(the_house(), sheet, check), check)


@weather.command("fetch")
@CHECK
@speaks_plainly
def fetch(check: bool) -> None:
    """Take the daily weather from the address in flows/weather.yaml, if one stands there."""
    from gateway.intake import fetch_weather

    _tell(fetch_weather(the_house(), check), check)


@click.group()
def water() -> None:
    """Water to come."""


@water.command("load")
@SHEET
@CHECK
@speaks_plainly
def load_water(sheet: Path, check: bool) -> None:
    """Take the next turns of SHEET, CSV or XLSX, in place of those known for its outlets."""
    from gateway.intake import take_water

    _tell(take_water(the_house(), sheet, check), check)


@click.group()
def keepers() -> None:
    """Gate keepers and pump operators, who report of their outlets."""


@keepers.command("load")
@SHEET
@CHECK
@speaks_plainly
def load_keepers(sheet: Path, check: bool) -> None:
    """Take the keepers of SHEET, CSV or XLSX: block or outlet, name, role, phone, language."""
    from gateway.intake import take_keepers

    _tell(take_keepers(the_house(), sheet, check), check)


def _tell(changes: "Changes", check: bool) -> None:
    """What came of a sheet; in a check each change, else those alone that put something right."""
    for change in changes.all:
        if change.how == "changed" or (check and change.how == "new"):
            click.echo(str(change))
    for line in changes.lines():
        click.echo(line)
    if check:
        click.echo("checked only, nothing was written")


OFFICE: tuple[click.Command, ...] = (scheme, enrol, plan, weather, water, keepers)
