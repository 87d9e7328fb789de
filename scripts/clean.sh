#!/usr/bin/env bash
# Removes everything that was built or installed here.
set -euo pipefail
cd "$(dirname "$0")/.."

rm -rf bin build node_modules
find internal/web/static/dist -mindepth 1 ! -name .gitkeep -delete
