"""An office begins: scheme, sheets, plan, weather and water, by the commands as installed."""

import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from gateway.sources import plots, water, weather
from tests.house.serving import run, settings

DAY = timedelta(days=1)
SCHEME = ["scheme", "add", "LOW", "--name", "Lower Reach", "--short-name", "Lower Reach"]
PLACE = ["--zone", "Asia/Manila", "--language", "en", "--region", "PH"]


@pytest.fixture
def environment(sqlite_url: str) -> dict[str, str]:
    """The settings of an office whose store is migrated and empty."""
    return settings(sqlite_url)


def test_a_scheme_is_added_once(environment: dict[str, str]) -> None:
    done = run(environment, *SCHEME, *PLACE)
    assert (done.returncode, "scheme LOW is on record" in done.stdout) == (0, True), done.stderr
    again = run(environment, *SCHEME, *PLACE)
    assert again.returncode == 1
    assert "scheme LOW is on record already" in again.stderr


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--zone", "Asia/Manilla"], "near it: Asia/Manila"),
        (["--zone", "Asia"], "zone: need a time zone such as"),
        (["--zone", "../etc/passwd"], "zone: need a time zone such as"),
        (
            ["--language", "xx"],
            "language: need one that has a catalogue: bn, en, fil, fr, hi, id, vi",
        ),
        (["--region", "ph"], "region: need two letters of ISO 3166"),
        (["--short-name", "The Lower Reach Office"], "need at most 12 characters"),
        (["--name", " "], "name: need a name"),
    ],
    ids=lambda value: value if isinstance(value, str) else " ".join(value),
)
def test_a_scheme_that_cannot_be_served_is_refused_with_the_cure(
    environment: dict[str, str], more: list[str], said: str
) -> None:
    done = run(environment, *SCHEME, *PLACE, *more)
    assert (done.returncode, said in done.stderr) == (1, True), done.stderr
    assert run(environment, *SCHEME, *PLACE).returncode == 0


def test_a_store_that_was_not_migrated_is_said(tmp_path: Path) -> None:
    done = run(settings(f"sqlite:///{tmp_path}/empty.db"), *SCHEME, *PLACE)
    assert (done.returncode, "gateway migrate" in done.stderr) == (1, True)


# -- sheets ---------------------------------------------------------------------------------------

HEADER = "block,outlet,plot,grower,phone,method,established_on"
FROM = "+12025550107"


@pytest.fixture
def office(environment: dict[str, str]) -> dict[str, str]:
    """The settings of an office with a scheme that has no plots yet."""
    assert run(environment, *SCHEME, *PLACE).returncode == 0
    return environment


def write(folder: Path, *lines: str, name: str = "plots.csv") -> str:
    """A sheet of those lines; its path."""
    path = folder / name
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return str(path)


def test_plots_are_enrolled_and_their_growers_answered(
    office: dict[str, str], tmp_path: Path
) -> None:
    planted = datetime.now(UTC).date() - timedelta(days=30)
    sheet = write(tmp_path, HEADER, f"Upper,U1,H07,Ann B,{FROM},transplanted,{planted}")
    checked = run(office, "enrol", sheet, "--check")
    assert (checked.returncode, checked.stdout.splitlines()[0]) == (0, "new block Upper (line 2)")
    assert checked.stdout.endswith("checked only, nothing was written\n")
    done = run(office, "enrol", sheet)
    assert done.stdout.startswith("new: 1 block, 1 plot, 1 reader, 1 season\n"), done.stderr
    again = run(office, "enrol", sheet)
    assert again.stdout.startswith("new: nothing\nchanged: nothing\n")
    assert "IRRIGATE" in run(office, "text", FROM, "H07 -16").stdout
    assert FROM[2:] not in checked.stdout + done.stdout + again.stdout


def test_a_sheet_with_mistakes_is_refused_without_a_number_in_full(
    office: dict[str, str], tmp_path: Path
) -> None:
    sheet = write(
        tmp_path,
        HEADER,
        f"Upper,U1,H07,{FROM},{FROM}99999999,thrown,",
        f"Upper,U1,{FROM},Ann B,{FROM},,",
    )
    done = run(office, "enrol", sheet)
    assert (done.returncode, done.stdout) == (1, "")
    assert f"{sheet}:2 method: need one of transplanted" in done.stderr
    assert f"{sheet}:2 phone: " in done.stderr
    assert f"{sheet}:3 plot: looks like a phone number" in done.stderr
    assert FROM[2:] not in done.stderr
    assert "Traceback" not in done.stderr


def test_a_sheet_without_a_scheme_says_what_is_missing(
    environment: dict[str, str], tmp_path: Path
) -> None:
    done = run(environment, "enrol", write(tmp_path, HEADER))
    assert (done.returncode, "no scheme at all is on record" in done.stderr) == (1, True)


# -- the README -----------------------------------------------------------------------------------

README = (Path(__file__).resolve().parents[2] / "README.md").read_text("utf-8")


def example(kind: str) -> str:
    """The README's example of that kind, its days moved so that the first crop is 30 days old."""
    (text,) = re.findall(rf"^```{kind}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    moved = datetime.now(UTC).date() - timedelta(days=30) - date(2026, 1, 10)
    return re.sub(
        r"\d{4}-\d\d-\d\d", lambda day: str(date.fromisoformat(day.group()) + moved), text
    )


def test_an_office_begins_as_the_readme_says(office: dict[str, str], tmp_path: Path) -> None:
    plan = run(office, "plan", "add", write(tmp_path, example("yaml"), name="plan.yaml"))
    assert (plan.returncode, "approved by A. Approver" in plan.stdout) == (0, True), plan.stderr
    text = example("csv").replace("duration_days\n", "duration_days,plan\n")
    text = re.sub(r",(120|113)$", r",\1,Wet season", text, flags=re.MULTILINE)
    for sheet in (example("csv"), text):
        done = run(office, "enrol", write(tmp_path, sheet))
        assert done.returncode == 0, done.stderr
    assert "changed season of E01" in done.stdout
    day = datetime.now(UTC).date()
    sky = write(tmp_path, "on,et0_mm,rain_mm", f"{day},4.8,0", name="weather.csv")
    assert "new: 1 day" in run(office, "weather", "load", sky).stdout
    turns = write(tmp_path, "outlet,from,to,sure", f"U1,{day},{day + DAY},yes", name="water.csv")
    assert "new: 1 turn list" in run(office, "water", "load", turns).stdout
    for phone, said in (("+12025550110", "E01 -16"), ("+12025550111", "E01 16 below")):
        assert "IRRIGATE" in run(office, "text", phone, said).stdout
    assert "E02" in run(office, "text", "+12025550112", "E02 -3").stdout


def test_a_plan_without_approver_or_source_is_refused(
    office: dict[str, str], tmp_path: Path
) -> None:
    text = example("yaml")
    for key in ("approved_by", "source"):
        path = write(tmp_path, re.sub(rf"^{key}.*\n", "", text, flags=re.M), name="plan.yaml")
        done = run(office, "plan", "add", path)
        assert (done.returncode, f"the key {key} is missing" in done.stderr) == (1, True)
    path = write(tmp_path, text, name="plan.yaml")
    assert run(office, "plan", "add", path).returncode == 0
    again = run(office, "plan", "add", path)
    assert again.returncode == 1
    assert "nitrogen plan Wet season is on record already" in again.stderr


def test_every_column_of_a_sheet_is_named_in_the_readme() -> None:
    named = set(re.findall(r"[a-z][a-z0-9_]*", README))
    assert {*plots.COLUMNS, *weather.VALUES, *water.COLUMNS} <= named


@pytest.mark.parametrize("words", [["enrol"], ["weather", "load"], ["water", "load"]])
def test_a_file_that_is_none_is_answered_without_a_traceback(
    office: dict[str, str], tmp_path: Path, words: list[str]
) -> None:
    noise = tmp_path / "noise.csv"
    noise.write_bytes(bytes(range(256)) * 40)
    for path, said in ((tmp_path / "none.csv", "cannot be read"), (noise, "CSV UTF-8")):
        done = run(office, *words, str(path))
        assert (done.returncode, said in done.stderr) == (1, True), done.stderr
        assert "Traceback" not in done.stderr
