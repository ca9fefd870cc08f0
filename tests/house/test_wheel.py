"""The wheel, installed in an empty environment elsewhere, answers a text."""

import os
import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
KEY = "a key for tests only and thirty-two long"


def command(*words: str, cwd: Path, **environment: str) -> str:
    """Run to the end, with nothing of this process's environment but what an installer needs."""
    kept = {k: v for k, v in os.environ.items() if k.startswith(("PIP_", "SSL_", "HOME", "http"))}
    done = subprocess.run(
        words,
        cwd=cwd,
        env={**kept, "PATH": "/usr/bin:/bin", "PIP_DISABLE_PIP_VERSION_CHECK": "1", **environment},
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_the_wheel_answers_a_text_in_an_empty_environment(tmp_path: Path) -> None:
    built = tmp_path / "built"
    command(
        sys.executable,
        "-m",
        "build",
        "--wheel",
        "--no-isolation",
        "--outdir",
        str(built),
        ".",
        cwd=CHECKOUT,
    )
    (wheel,) = built.glob("*.whl")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    command(sys.executable, "-m", "venv", "venv", cwd=elsewhere)
    pip = str(elsewhere / "venv/bin/pip")
    lock = str(CHECKOUT / "deploy/requirements.lock")
    command(pip, "install", "--quiet", "--require-hashes", "-r", lock, cwd=elsewhere)
    command(pip, "install", "--quiet", "--no-deps", "--no-index", str(wheel), cwd=elsewhere)
    gateway = str(elsewhere / "venv/bin/gateway")
    store = {
        "GATEWAY_DATABASE_URL": f"sqlite:///{elsewhere}/gateway.db",
        "GATEWAY_PHONE_KEYS": KEY,
        "GATEWAY_LOG_LEVEL": "warning",
    }
    assert "in order" in command(gateway, "check-flows", cwd=elsewhere)
    command(gateway, "migrate", cwd=elsewhere, **store)
    hints = command(gateway, "trial", cwd=elsewhere, **store)
    number = "+" + hints.split("from +")[1].split()[0]
    assert "Do not irrigate yet" in command(
        gateway, "text", number, "H07 -12", cwd=elsewhere, **store
    )
