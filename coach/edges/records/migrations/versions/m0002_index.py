"""An index for what is asked of one learner, or of each learner's last attempts."""

from __future__ import annotations

from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make it."""
    op.create_index("attempts_by_learner", "attempts", ["learner", "skill", "started_s"])
