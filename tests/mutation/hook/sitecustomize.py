"""Python runs this first where its folder is on PYTHONPATH: programs that a test starts meet the mutant too.

While it is recorded which tests reach which lines, they leave theirs in a folder.
"""

from __future__ import annotations

import os

import standing_in

standing_in.install()

if os.environ.get("TURNSTILL_REACHED"):
    import atexit

    import reached

    leave, see = reached.start(os.environ[reached.FOLDER])
    standing_in.read_templates_through(see)
    atexit.register(leave)
