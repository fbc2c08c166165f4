"""All ratios in one run: ``python tests/benchmarks`` (minutes).

Whole commands, the growth with the model, then each file of this folder that measures one thing. With ``--quick``,
whole commands and models of up to 300 segments alone.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import whole

SINGLE = ("limb", "slides", "worksheets", "localise", "page")


def main(quick: bool) -> int:
    """Print all; gives the greatest exit code of the single ones."""
    print("\n".join(whole.table()), end="\n\n", flush=True)
    import growth  # only now: what is loaded here counts as memory of what is run from here

    print("\n".join(growth.table([n for n in growth.SIZES if n <= 300] if quick else growth.SIZES)), flush=True)
    worst = 0
    for name in () if quick else SINGLE:
        print(f"\n{name}", flush=True)
        path = Path(__file__).with_name(f"{name}.py")
        worst = max(worst, subprocess.run([sys.executable, str(path)], check=False).returncode)
    return worst


if __name__ == "__main__":
    sys.exit(main("--quick" in sys.argv[1:]))
