"""The first practice of all, live: the coach asks by voice, hears the answers, and remembers."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from live import live_practice
from rig import running_rig

pytestmark = pytest.mark.live


@pytest.mark.timeout(240)
def test_what_is_asked_for_by_voice_counts_and_is_remembered(tmp_path: Path) -> None:
    """Letters sound alike: the one that was heard is read back, and stands after a yes."""
    with (
        running_rig() as rig,
        live_practice(rig, tmp_path, "oxygen-delivery", "--headset", "--ask-first") as (coach, _),
    ):
        assert "Where do your cylinders come from" in coach.said()[0]
        coach.answer("british cylinders")
        assert coach.said()[-1].startswith("The United Kingdom. Does your gauge show")
        coach.answer("it shows bar")
        assert coach.said()[-1].startswith("Bar. Which cylinder do you use")
        coach.answer("delta")
        assert coach.said()[-1] == "D as in delta, right?"
        coach.answer("yes")
        coach.wait_for(lambda row: row.get("name") == "settings-remembered")
        coach.wait_for(lambda row: "Say I'm ready to begin" in str(row.get("text")))
    settings = yaml.safe_load((tmp_path / "settings.yaml").read_text(encoding="utf-8"))
    remembered = {name: settings[name] for name in ("region", "pressure-unit", "cylinder")}
    assert remembered == {"region": "uk", "pressure-unit": "bar", "cylinder": "D"}
