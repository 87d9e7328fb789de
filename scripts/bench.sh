#!/usr/bin/env bash
# Runs the Go benchmarks; arguments go to go test, such as -bench=Import.
set -euo pipefail
cd "$(dirname "$0")/.."

go test -run='^$' -bench=. -benchmem "$@" ./...
