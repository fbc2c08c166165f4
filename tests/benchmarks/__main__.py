"""All ratios of whole commands in one run, then the growth with the model: ``python tests/benchmarks``.

With ``--quick``, models of up to 300 segments.
"""

from __future__ import annotations

import sys

import growth
import whole

if __name__ == "__main__":
    print("\n".join(whole.table()), end="\n\n", flush=True)
    quick = "--quick" in sys.argv[1:]
    print("\n".join(growth.table([n for n in growth.SIZES if n <= 300] if quick else growth.SIZES)))
