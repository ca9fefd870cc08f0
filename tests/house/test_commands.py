"""The commands, run as installed: what they say, and how they refuse."""

import json
import shutil
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from gateway.settings import Settings, shipped
from tests.house.serving import PASSWORD, run, settings
from tests.houses import PLAN, READER, open_test_house

FROM = READER.reveal()


@pytest.fixture
def environment(sqlite_url: str) -> dict[str, str]:
    """A store with plot H07 in tillering on the real day, and its settings."""
    home = open_test_house(sqlite_url)
    home.clock.move_to(datetime.now(UTC))
    home.add_plot("H07", READER)
    home.house.store.close()
    return settings(sqlite_url)


def test_a_text_is_answered_and_its_advice_can_be_given_again(environment: dict[str, str]) -> None:
    asked = run(environment, "text", FROM, "H07 15")
    assert (asked.returncode, asked.stdout.count("\n")) == (0, 1)
    assert "1 for BELOW" in asked.stdout
    assert "IRRIGATE" in run(environment, "text", FROM, "below").stdout
    explained = run(environment, "explain", "1")
    assert explained.returncode == 0, explained.stderr
    assert explained.stdout.rstrip().endswith("the same")
    assert FROM[2:] not in explained.stdout + explained.stderr


def test_an_explanation_is_told_in_the_scheme_s_time_with_what_was_replaced(
    sqlite_url: str,
) -> None:
    home = open_test_house(sqlite_url)
    home.add_plot("H07", READER, plan=PLAN)
    home.text(READER, "H07 -18")
    home.text(READER, "WRONG")
    home.text(READER, "H07 -11")
    home.house.store.close()
    first, last = (run(settings(sqlite_url), "explain", number).stdout for number in ("1", "2"))
    assert "as of 2026-03-10 09:00" in first.splitlines()[0]
    assert first.splitlines()[1] == "all times are those of Asia/Manila"
    assert "reading level_cm=-18.0 reader=phone 1 (written 2026-03-10 09:00 by reader)" in first
    assert (
        "level_cm=-18.0 reader=phone 1 (written 2026-03-10 09:00 by reader, replaced by then)"
        in last
    )
    assert "level_cm=-11.0 reader=phone 1 (written 2026-03-10 09:00 by reader)" in last
    assert (
        "nitrogen: plan Invented plan, approved by A. Approver on 2026-01-05, "
        "plan of the invented office"
    ) in last
    assert last.rstrip().endswith("the same")


def test_an_advice_under_rules_that_are_read_no_more_is_refused_in_words(
    environment: dict[str, str],
) -> None:
    run(environment, "text", FROM, "H07 -15")
    store = sqlite3.connect(environment["GATEWAY_DATABASE_URL"].removeprefix("sqlite:///"))
    rules = "SELECT rules_digest FROM advice"
    with store:
        store.execute(
            f"UPDATE paper SET files = json_remove(files, '$.\"rules.yaml\"') "
            f"WHERE digest IN ({rules})"
        )
    store.close()
    refused = run(environment, "explain", "1")
    assert (refused.returncode, refused.stdout) == (1, "")
    assert "the rules of that day cannot be read by this version: rules.yaml:1:1" in refused.stderr
    assert "Traceback" not in refused.stderr


def test_a_text_without_a_reply_says_so(environment: dict[str, str]) -> None:
    done = run(environment, "text", FROM, "thanks")
    assert (done.returncode, done.stdout) == (0, "")
    assert "on record" in done.stderr


@pytest.mark.parametrize(
    ("words", "more", "said"),
    [
        (["text", "12", "H07 -12"], {}, "not a phone number"),
        (
            ["text", FROM, "H07 -12"],
            {"GATEWAY_CARRIERS": "example-http"},
            "not the simulator: nothing was done",
        ),
        (["text", FROM, "H07 -12"], {"GATEWAY_CARRIERS": "nobody"}, "known: example-http"),
        (["text", FROM, "H07 -12"], {"GATEWAY_PHONE_KEYS": ""}, "Make one with"),
        (["text", FROM, "H07 -12"], {"GATEWAY_SCHEME": "NONE"}, "no scheme NONE"),
        (["explain", "77"], {}, "no advice 77 is on record"),
        (["explain", "first"], {}, "not a valid integer"),
        (["user", "add", "ann", "--password", "short"], {}, "10 characters or more"),
        (["serve"], {"GATEWAY_WEB_SECRET": ""}, "GATEWAY_WEB_SECRET"),
        (["serve"], {"GATEWAY_PORT": "many"}, "GATEWAY_PORT"),
        (
            ["serve"],
            {"GATEWAY_CARRIERS": "example-http", "GATEWAY_EXAMPLE_HTTP_SECRET": ""},
            "GATEWAY_EXAMPLE_HTTP_SECRET",
        ),
        (["trial"], {}, "is on record already"),
        (["migrate"], {"GATEWAY_DATABASE_URL": "oracle://nowhere"}, "sqlite"),
    ],
)
def test_what_is_missing_or_wrong_is_said_in_words(
    environment: dict[str, str], words: list[str], more: dict[str, str], said: str
) -> None:
    done = run({**environment, **more}, *words)
    assert done.returncode != 0
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert FROM[2:] not in done.stderr


def test_a_store_that_was_not_migrated_says_what_to_run(tmp_path: Path) -> None:
    done = run(settings(f"sqlite:///{tmp_path}/empty.db"), "text", FROM, "H07 -12")
    assert done.returncode != 0
    assert "gateway migrate" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_user_is_added_once(environment: dict[str, str]) -> None:
    words = ["user", "add", "ann", "--role", "supervisor", "--password", PASSWORD]
    assert run(environment, *words).returncode == 0
    again = run(environment, *words)
    assert again.returncode != 0
    assert "on record already" in again.stderr


def test_the_pipes_need_no_setting_and_answer_line_by_line() -> None:
    nothing = {"PATH": ""}
    texts = ['{"text": "H07 -12", "plots": ["H07"]}', "broken", '{"text": "", "plots": []}']
    done = run(nothing, "interpret", give="\n".join(texts) + "\n")
    first, second, third = (json.loads(line) for line in done.stdout.splitlines())
    assert first["readings"][0]["level_cm"] == -12
    assert second["line"] == 2
    assert second["error"]
    assert third["outcome"] == "reject"
    case = {"as_of": "2026-02-14", "plot": {"code": "H07"}}
    done = run(nothing, "advise", give=json.dumps(case) + "\n")
    assert json.loads(done.stdout)["action"] in {"ask", "none"}


@pytest.mark.parametrize("command", ["interpret", "advise"])
def test_the_pipes_print_their_schemas(command: str) -> None:
    schemas = json.loads(run({"PATH": ""}, command, "--schema").stdout)
    assert schemas


EDITS = {
    "office.yaml": ("most_at_once: 20", "most_at_once: all", "need a whole number, got 'all'"),
    "practice.yaml": ("threshold_cm: -15", "threshold_cm: deep", "got 'deep'"),
    "rules.yaml": ("then: let-out", "then: let-fly", "let-fly"),
    "calendar.yaml": ("duty.flowering-begins", "duty.nothing", "no such text in en"),
    "menu.yaml": ("to: side", "to: nowhere", "nowhere"),
    "carriers/example-http.yaml": ("window_s: 300", "window_s: long", "window_s"),
    "sheets.yaml": ("least: 0.005", "least: tiny", "need a number, got 'tiny'"),
    "vocabulary/en.yaml": ("units:", "measures:", "unknown key"),
}


@pytest.mark.parametrize(("file", "edit"), list(EDITS.items()), ids=list(EDITS))
def test_check_flows_names_file_line_and_cure(
    tmp_path: Path, file: str, edit: tuple[str, str, str]
) -> None:
    flows = tmp_path / "flows"
    shutil.copytree(shipped("flows"), flows)
    old, new, cure = edit
    text = (flows / file).read_text("utf-8")
    assert old in text
    (flows / file).write_text(text.replace(old, new, 1), "utf-8")
    done = run({"PATH": ""}, "check-flows", "--flows", str(flows))
    assert done.returncode != 0
    line = text[: text.index(old)].count("\n") + 1
    assert f"{file}:{line}:" in done.stderr
    assert cure in done.stderr
    assert "Traceback" not in done.stderr


def test_the_shipped_files_are_in_order() -> None:
    assert run({"PATH": ""}, "check-flows").returncode == 0


def test_a_changed_file_shows_the_plots_with_other_advice_before_it_goes_live(
    environment: dict[str, str], tmp_path: Path
) -> None:
    flows = tmp_path / "flows"
    shutil.copytree(shipped("flows"), flows)
    run(environment, "text", FROM, "H07 BELOW 12")
    practice = flows / "practice.yaml"
    text = practice.read_text("utf-8")
    practice.write_text(text.replace("  threshold_cm: -15 ", "  threshold_cm: -10 ", 1), "utf-8")
    words = ["check-flows", "--flows", str(flows), "--against", str(shipped("flows"))]
    done = run(environment, *words)
    assert done.returncode == 0, done.stderr
    assert "1 of 1 plots with a crop would get other advice" in done.stdout
    assert "H07: wait (above-threshold)" in done.stdout
    assert "-> reflood (threshold-reached)" in done.stdout
    practice.write_text(text, "utf-8")
    assert "0 of 1 plots" in run(environment, *words).stdout


def test_every_setting_is_described_for_people() -> None:
    assert all(field.description for field in Settings.model_fields.values())
