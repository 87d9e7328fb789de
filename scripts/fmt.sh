#!/usr/bin/env bash
# Formats Go files and templates in place.
set -euo pipefail
cd "$(dirname "$0")/.."

gofmt -w cmd internal tools
go tool -modfile=tools/go.mod templ fmt internal
