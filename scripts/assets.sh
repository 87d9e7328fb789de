#!/usr/bin/env bash
# Bundles web/src into internal/web/static/dist, which the program embeds.
set -euo pipefail
cd "$(dirname "$0")/.."

go -C tools run ./assets
