#!/usr/bin/env bash
# Passes all tests, from a fresh clone: makes .venv, installs the package with its tests and the programs that they
# call, then lint, format, types, tests. Further arguments go to pytest. OLDEST=1 takes the oldest libraries allowed.
set -euo pipefail
source "$(dirname "$0")/venv.sh"

missing() { ! command -v "$1" >/dev/null; }
places() { neato -Tplain <<<"graph {}" >/dev/null 2>&1; }

apt="" brew=""
places || { apt+=" graphviz" brew+=" graphviz"; }
missing qpdf && apt+=" qpdf" brew+=" qpdf"
missing pdftotext && apt+=" poppler-utils" brew+=" poppler"
if [ -n "$apt" ]; then install "$apt" "$brew"; fi
places || install graphviz-tools graphviz # newer than Debian 13: only this brings what keeps nodes in their places
if missing chromium || missing chromedriver; then
  install "chromium chromium-driver" "--cask chromium chromedriver" ||
    echo "No Chromium: the tests of the clickable page will be skipped." >&2
fi

constraint=()
if [ -n "${OLDEST:-}" ]; then constraint=(-c tests/constraints-oldest.txt); fi
.venv/bin/python -m pip install --quiet --disable-pip-version-check ${constraint[@]+"${constraint[@]}"} -e '.[test]'

PATH="$PWD/.venv/bin:$PATH"
ruff check --quiet .
ruff format --check --quiet .
if [ -z "${OLDEST:-}" ]; then # older libraries declare other types
  mypy --no-error-summary
  mypy --no-error-summary gallery/*.py
fi
exec python -m pytest -n 2 "$@"
