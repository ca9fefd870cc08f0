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
