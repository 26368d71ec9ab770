"""Which profile of hypothesis runs: `ci`, the default, or `long` (SHADEFMT_PROFILE=long)."""

import os
from typing import Final

PROFILE: Final = os.environ.get("SHADEFMT_PROFILE", "ci")
