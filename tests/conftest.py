"""For every test: the same examples each time, no limit on theirs, and small sums on one core.

The workers share the machine's cores already; threads of the linear algebra beside them would only
wait for one another. Examples are drawn anew where ``SOLARSIM_FUZZ`` asks for many: a run of the
suite judges a change and not its luck.
"""

import os
import sys

from hypothesis import settings

assert "numpy" not in sys.modules, "threads are counted when numpy is first imported"
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

settings.register_profile("solarsim", deadline=None, derandomize="SOLARSIM_FUZZ" not in os.environ)
settings.load_profile("solarsim")
