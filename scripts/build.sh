#!/usr/bin/env bash
# Builds bin/tengram with its scripts and styles inside.
set -euo pipefail
cd "$(dirname "$0")/.."

./scripts/npm.sh
./scripts/assets.sh
go build -o bin/tengram ./cmd/tengram
echo "built bin/tengram"
