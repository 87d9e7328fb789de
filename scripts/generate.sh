#!/usr/bin/env bash
# Formats the templates and makes Go of them. What is made is committed.
set -euo pipefail
cd "$(dirname "$0")/.."

go tool -modfile=tools/go.mod templ fmt internal
# From the root, so that the made code names each template by its whole path.
go tool -modfile=tools/go.mod templ generate
