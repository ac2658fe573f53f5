"""For every test: no example is failed for the time it takes, and small sums stay on one core.

The workers share the machine's cores already; threads of the linear algebra beside them would only
wait for one another.
"""

import os
import sys

from hypothesis import settings

assert "numpy" not in sys.modules, "threads are counted when numpy is first imported"
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

settings.register_profile("solarsim", deadline=None)
settings.load_profile("solarsim")
