"""The bench runs as its reader would run it, in small."""

import re
import subprocess
import sys


def test_the_bench_prints_every_figure_with_machine_and_seed() -> None:
    small = ["--rounds", "1", "--texts", "300", "--cases", "20", "--callbacks", "5", "--seed", "3"]
    small += ["--phones", "2000"]
    ran = subprocess.run(
        [sys.executable, "-m", "tests.bench", *small], capture_output=True, text=True, timeout=300
    )
    assert ran.returncode == 0, ran.stderr
    assert "seed 3, 1 rounds" in ran.stdout
    assert "cores" in ran.stdout
    for name in (
        "interpret",
        "advise",
        "floor",
        "inbound",
        "ratio",
        "broadcast",
        "beside",
        "memory",
    ):
        found = re.search(rf"^{name} +([\d.,]+)", ran.stdout, re.MULTILINE)
        assert found, name
        assert float(found[1].replace(",", "")) > 0


def test_the_morning_pass_goes_through_every_plot_by_one_process_and_by_two() -> None:
    small = ["--plots", "1200", "--processes", "1", "2"]
    ran = subprocess.run(
        [sys.executable, "-m", "tests.bench.morning", *small],
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert ran.returncode == 0, ran.stderr
    texts = re.findall(r"^morning .*1,200 plots .* ([\d,]+) texts", ran.stdout, re.MULTILINE)
    assert len(texts) == 2
    assert texts[0] == texts[1] != "0"
