"""Where figures come from: the commit, the machine, the versions."""

from __future__ import annotations

import os
import platform
import subprocess
from importlib.metadata import version
from pathlib import Path


def surroundings() -> dict[str, str]:
    """The commit and the machine, in words."""
    git = subprocess.run(
        ["git", "describe", "--always", "--dirty"],
        cwd=Path(__file__).parent,
        capture_output=True,
        text=True,
        check=False,
    )
    system = f"{platform.system()} {platform.machine()}"
    return {
        "commit": git.stdout.strip() or "unknown",
        "machine": f"{system}, {_processor()}, {os.cpu_count()} cores",
        "python": platform.python_version(),
        "onnxruntime": version("onnxruntime"),
    }


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or "unknown processor"
    named = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    return named[0] if named else "unknown processor"
