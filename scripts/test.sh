#!/usr/bin/env bash
# Everything that must hold before a change lands. Runs all steps that still
# make sense after a failure, and exits 1 if any failed.
set -euo pipefail
cd "$(dirname "$0")/.."
. scripts/steps.sh

browser_tests() {
  # Two files at a time: each starts a server and a browser of its own, and most
  # of their time is waiting.
  node --test --test-concurrency=2 --test-reporter=spec e2e/*.test.mjs
}

types() { node_modules/.bin/tsc -p web && node_modules/.bin/tsc -p e2e; }

kernel_for_browser() { GOOS=js GOARCH=wasm go build ./internal/kernel/...; }

./scripts/packages.sh
[ -d "${TENGRAM_SHARED:-../shared}" ] || echo "No shared test data beside the repository: the tests that read it will be skipped."

step "lint" ./scripts/lint.sh || true
built=yes
step "build" ./scripts/build.sh || built=no
# The go command leaves folders called testdata out of "./...".
step "go tests" go test -timeout=20m ./... ./internal/testdata || true
step "go tests, tools" go -C tools test ./... || true
step "kernel for the browser" kernel_for_browser || true
if [ $built = yes ]; then
  step "types" types || true
  step "browser tests" browser_tests || true
  step "measure beside a general-purpose engine" node --test --test-reporter=spec bench/cql/*.test.mjs || true
else
  cannot_run "types" "the build failed"
  cannot_run "browser tests" "the build failed"
  cannot_run "measure beside a general-purpose engine" "the build failed"
fi
close_steps steps
