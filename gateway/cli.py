"""The command line: one thin function a command."""

import gc
import json
import secrets
import signal
import sys
from datetime import datetime
from pathlib import Path
from types import FrameType

import click

from gateway import __version__
from gateway.office import OFFICE
from gateway.settings import read_settings, shipped
from gateway.spoken import speaks_plainly, the_house

# What a command needs is imported inside it: the pipes answer without loading store or console.
FLOWS = click.option(
    "--flows", type=click.Path(path_type=Path), help="Another flows folder than the settings'."
)

DAY = click.DateTime(["%Y-%m-%d"])


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="gateway")
def main() -> None:
    """AWD advisory gateway: plot-by-plot irrigation advice for rice, over SMS and USSD."""


for command in OFFICE:
    main.add_command(command)


# -- pipes ----------------------------------------------------------------------------------------


@main.command()
@click.option("--schema", is_flag=True, help="Print the JSON Schemas of both sides and stop.")
@FLOWS
@speaks_plainly
def interpret(schema: bool, flows: Path | None) -> None:
    """Texts in, meanings out: JSON lines from standard input to standard output."""
    from gateway.flowfiles.vocabulary import load_vocabularies
    from gateway.lines.interpret import interpret_line, interpret_schema
    from gateway.lines.pipe import serve_lines

    if schema:
        return click.echo(json.dumps(interpret_schema(), indent=2))
    vocabularies = load_vocabularies(flows or flows_folder())
    return serve_lines(
        sys.stdin.buffer, sys.stdout, lambda line: interpret_line(line, vocabularies)
    )


@main.command()
@click.option("--schema", is_flag=True, help="Print the JSON Schemas of both sides and stop.")
@FLOWS
@speaks_plainly
def advise(schema: bool, flows: Path | None) -> None:
    """Cases in, advice out: JSON lines from standard input to standard output."""
    from gateway.flowfiles.catalogues import load_catalogues
    from gateway.flowfiles.rules import load_rulebook
    from gateway.lines.advise import advise_line, advise_schema
    from gateway.lines.pipe import serve_lines
    from gateway.messages.letters import languages_among
    from gateway.messages.wording import word_advice

    if schema:
        return click.echo(json.dumps(advise_schema(), indent=2))
    rules = load_rulebook(flows or flows_folder())
    found = load_catalogues(locales_folder())
    catalogues = {language: found[language] for language in languages_among(found)}
    return serve_lines(
        sys.stdin.buffer,
        sys.stdout,
        lambda line: advise_line(
            line, rules, lambda advice: {c: word_advice(advice, catalogues[c]) for c in catalogues}
        ),
    )


# -- files and store ------------------------------------------------------------------------------


@main.command()
@FLOWS
@click.option("--locales", type=click.Path(path_type=Path), help="Another locales folder.")
@click.option(
    "--against",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    help="The flows folder in use: lists the plots of the store that would get other advice today.",
)
@speaks_plainly
def check_flows(flows: Path | None, locales: Path | None, against: Path | None) -> None:
    """Check every file of flows/ and locales/; a mistake is told with file, line and cure."""
    from gateway.chores import mistakes_in

    found = mistakes_in(flows or flows_folder(), locales or locales_folder())
    for mistake in found:
        click.echo(mistake, err=True)
    if found:
        raise click.ClickException(f"{len(found)} {'mistake' if len(found) == 1 else 'mistakes'}")
    click.echo("flows and locales are in order")
    if against is not None:
        from gateway.chores import other_advice
        from gateway.lines.compare import comparison_text

        changed = flows or flows_folder()
        click.echo(comparison_text(other_advice(the_house(), against, changed)))


@main.command()
@speaks_plainly
def migrate() -> None:
    """Bring the store to the tables of this version. Safe to run again."""
    from gateway.store.migrate import migrate as bring

    bring(read_settings().database_url)
    click.echo("the store is up to date")


@main.command()
def make_key() -> None:
    """Print a new key for GATEWAY_PHONE_KEYS. Keep it apart from the database, and safe."""
    click.echo(secrets.token_urlsafe(32))


@main.group()
def user() -> None:
    """Office users."""


@user.command("add")
@click.argument("name")
@click.option(
    "--role", type=click.Choice(["officer", "supervisor", "administrator"]), default="officer"
)
@click.option("--password", help="Asked for where it is not given.")
@speaks_plainly
def add_user(name: str, role: str, password: str | None) -> None:
    """Add an office user who may sign in to the console."""
    if password is None and not sys.stdin.isatty():
        raise click.UsageError("give --password, or run this in a terminal that can ask for it")
    password = password or click.prompt("Password", hide_input=True, confirmation_prompt=True)
    from gateway.advisory.enrol import add_office_user

    house = the_house()
    add_office_user(house.store, house.clock, house.scheme.id, name, role, password)
    click.echo(f"{name} may sign in as {role}")


# -- advice and texts -----------------------------------------------------------------------------


@main.command()
@click.argument("advice", type=int)
@speaks_plainly
def explain(advice: int) -> None:
    """Give an advice again from the book and the papers of its day, and say if it is the same."""
    from gateway.lines.explain import explain_text

    explanation = the_house().explain(advice)
    click.echo(explain_text(explanation))
    if not explanation.same:
        raise click.ClickException("judged again, it is NOT the same")


@main.command()
@click.argument("sender", metavar="FROM")
@click.argument("body", metavar="BODY")
@click.option("--wait", default=30.0, show_default=True, help="Seconds to wait for the reply.")
@speaks_plainly
def text(sender: str, body: str, wait: float) -> None:
    """Let the phone FROM text BODY through the simulator carrier; prints the reply."""
    from gateway.chores import text_through_simulator

    replies = text_through_simulator(the_house(), sender, body, wait)
    for reply in replies:
        click.echo(reply)
    if not replies:
        click.echo("(no reply: the text is on record)", err=True)


@main.command()
@click.option(
    "--today",
    type=DAY,
    help="Day the trial has lived up to; the real one.",
)
@click.option("--seed", default=7, show_default=True, help="The same seed gives the same trial.")
@speaks_plainly
def trial(today: datetime | None, seed: int) -> None:
    """Fill an EMPTY store with an invented scheme and half a season of its texts."""
    from gateway.chores import make_the_trial
    from gateway.logs import open_log

    settings = read_settings()
    open_log(settings.log_level)
    made = make_the_trial(settings, today.date() if today else None, seed)
    click.echo(f"{made.scheme}: {made.plots} plots, {made.texts} texts from their phones")
    for hint in made.hints:
        click.echo(str(hint))


@main.command()
@click.option("--from", "first", type=DAY, required=True, help="First day, from today on.")
@click.option("--to", "last", type=DAY, required=True, help="Last day.")
@click.option("--seed", default=7, show_default=True, help="The same seed gives the same growers.")
@speaks_plainly
def rehearse(first: datetime, last: datetime, seed: int) -> None:
    """Try the calendar on a copy of the store, with invented growers: who would get what when.

    Nothing is sent, and the store is only read. Weather and growers are made up (flows/trial.yaml).
    """
    from gateway.rehearse import rehearse as lived
    from gateway.rehearse import told

    for line in told(lived(the_house(), first.date(), last.date(), seed)):
        click.echo(line)


@main.command()
@speaks_plainly
def serve() -> None:
    """Serve the console and the carriers' callbacks, tick the calendar, send the outbox."""
    from waitress.server import create_server

    house = the_house()
    server = create_server(
        house.app,
        host=house.settings.host,
        port=house.settings.port,
        threads=house.settings.threads,
        ident=None,
        trusted_proxy=house.settings.trusted_proxy or None,
        trusted_proxy_headers={"x-forwarded-proto"} if house.settings.trusted_proxy else set(),
        clear_untrusted_proxy_headers=True,
    )
    signal.signal(signal.SIGTERM, _stop)
    house.ticker.start()
    spare_what_is_loaded()
    click.echo(f"serving on http://{server.effective_host}:{server.effective_port}")
    sys.stdout.flush()
    try:
        server.run()
    finally:
        house.ticker.stop()
        house.store.close()


def spare_what_is_loaded() -> None:
    """What start-up made stays for good: to search it for garbage again and again is lost time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 100)


def _stop(_signal: int, _frame: FrameType | None) -> None:
    signal.signal(signal.SIGTERM, signal.SIG_IGN)  # once is enough; the rest is already ending
    raise SystemExit(0)


# -- shared ---------------------------------------------------------------------------------------


def flows_folder() -> Path:
    """The flows folder of the settings; the pipes need no other setting."""
    import os

    return Path(os.environ.get("GATEWAY_FLOWS") or shipped("flows"))


def locales_folder() -> Path:
    """The locales folder of the settings."""
    import os

    return Path(os.environ.get("GATEWAY_LOCALES") or shipped("locales"))
