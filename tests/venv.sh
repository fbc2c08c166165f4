#!/usr/bin/env bash
# Makes the environment .venv with the first Python from 3.11 on that there is. On Debian and Ubuntu it installs
# what a bare system lacks for that, with apt-get, as root or with sudo; on macOS a missing Python, with brew.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

as_root() { if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi; }

# install "NAMES FOR APT" "NAMES FOR BREW": by the system's package manager, else says what to do.
install() {
  if command -v apt-get >/dev/null; then
    echo "Installing" $1 "..." >&2
    as_root apt-get update -qq </dev/null >/dev/null &&
      as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $1 </dev/null >/dev/null
  elif command -v brew >/dev/null; then
    echo "Installing" $2 "..." >&2
    brew install --quiet $2 </dev/null >&2
  else
    echo "Neither apt-get nor brew is here. Please install by hand: $2" >&2
    return 1
  fi
}

find_python() {
  local name
  for name in python3 python3.14 python3.13 python3.12 python3.11; do
    if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
      echo "$name"
      return
    fi
  done
  return 1
}

make_venv() {
  local python version
  if ! python=$(find_python); then
    install "python3 python3-venv" "python@3.13" || true
    python=$(find_python) || { echo "Python 3.11 or later is needed." >&2; return 1; }
  fi
  "$python" -m venv .venv >/dev/null 2>&1 && return
  rm -rf .venv
  version=$("$python" -c 'import sys; print("python%d.%d" % sys.version_info[:2])')
  install "$version-venv" "" # Debian and Ubuntu keep this part of Python in a package of its own
  "$python" -m venv .venv
}

.venv/bin/python -m pip --version >/dev/null 2>&1 || make_venv
