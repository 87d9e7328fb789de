#!/usr/bin/env bash
# Installs node_modules as the lock file says, unless that is what is there.
set -euo pipefail
cd "$(dirname "$0")/.."

installed=node_modules/.installed-lock.json
if ! cmp -s package-lock.json "$installed"; then
  npm ci
  cp package-lock.json "$installed"
fi
