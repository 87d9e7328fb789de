#!/usr/bin/env bash
# Measures what has an aim, each beside its floor or a peer in the same run, in
# about four minutes. With arguments it runs the Go benchmarks that they
# choose, such as: scripts/bench.sh -bench=Panel ./internal/store/sqlite
set -euo pipefail
cd "$(dirname "$0")/.."

if [ $# -gt 0 ]; then
  exec go test -run='^$' -benchmem "$@"
fi

out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
over=0

title() { printf '\n--- %s\n' "$1"; }

# bench PATTERN TIME PACKAGE... prints the lines of the benchmarks and hides the
# rest, unless it fails.
bench() {
  local pattern=$1 long=$2
  shift 2
  if ! go test -run='^$' -bench="$pattern" -benchtime="$long" -benchmem "$@" >"$out/log" 2>&1; then
    cat "$out/log"
    over=1
    return
  fi
  grep -E '^(pkg:|Benchmark)' "$out/log" | sed -E 's/^pkg: tengram\//  /'
}

# wasm NAME PACKAGE prints the bytes of one program for the browser.
wasm() {
  packed=0
  if ! GOOS=js GOARCH=wasm go build -overlay "$out/overlay.json" -trimpath -ldflags='-s -w' -o "$out/$1.wasm" "$2" 2>"$out/log"; then
    cat "$out/log"
    over=1
    return
  fi
  gzip -9 -c "$out/$1.wasm" >"$out/$1.wasm.gz"
  packed=$(wc -c <"$out/$1.wasm.gz")
  printf '%-18s %9d bytes, gzipped %8d bytes\n' "$1" "$(wc -c <"$out/$1.wasm")" "$packed"
}

# program NAME makes a program out of the text that it is given, seen by the
# compiler alone as cmd/NAME.
program() {
  cat >"$out/$1.go"
  printf '{"Replace":{"%s/cmd/%s/main.go":"%s/%s.go","%s/cmd/%s/main.go":"%s/%s.go"}}' \
    "$PWD" floor "$out" floor "$PWD" rules "$out" rules >"$out/overlay.json"
}

title "kernel for the browser: aim under 1572864 bytes (1.5 MiB) gzipped"
program floor <<'GO'
// Reads and writes JSON: what every kernel carries.
package main

import (
	"encoding/json"
	"os"
)

func main() {
	var v any
	if json.NewDecoder(os.Stdin).Decode(&v) == nil {
		_ = json.NewEncoder(os.Stdout).Encode(v)
	}
}
GO
program rules <<'GO'
// Checks and judges exams: the rules without any page.
package main

import (
	"encoding/json"
	"os"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
)

func main() {
	var d exam.Draft
	if json.NewDecoder(os.Stdin).Decode(&d) != nil {
		return
	}
	checked, problems := exam.Check(d)
	_ = json.NewEncoder(os.Stdout).Encode(problems)
	_ = json.NewEncoder(os.Stdout).Encode(assess.Assess(assess.Input{Exam: &checked.Draft, Edition: assess.DefaultEdition()}))
}
GO
wasm floor ./cmd/floor
wasm rules ./cmd/rules
wasm tengram-kernel ./cmd/tengram-kernel
if [ "$packed" -ge 1572864 ]; then
  echo "OVER the aim by $((packed - 1572864)) bytes"
  over=1
fi
wasm tengram-pages ./cmd/tengram-pages # with the pages of an exam; no aim of its own

title "one exam: aim under 20 µs a full exam on one core; the floor is reading its document"
bench '^(BenchmarkAssess|BenchmarkFloorReadDocument)$' 1s -cpu=1 ./internal/kernel/assess

title "its rooms, one judgement each"
bench '^BenchmarkJudge' 0.3s -cpu=1 ./internal/kernel/risk ./internal/kernel/danger ./internal/kernel/wound ./internal/kernel/neuro ./internal/kernel/perfusion ./internal/kernel/heat

title "a measure, one person; the peer is the same without the explanation"
bench '^BenchmarkFootExam$' 0.5s -cpu=1 ./internal/kernel/measure

if [ -d "${TENGRAM_SHARED:-../shared}/data" ]; then
  title "intake, one core; the floor is the scanner alone, the peer a general decoder"
  bench '^BenchmarkDecode$' 0.5s -cpu=1 ./internal/intake/fhir
  title "intake from a file, all cores"
  bench '^BenchmarkRead$' 1x ./internal/intake/fhir
else
  title "intake: not measured, no shared test data beside the repository"
fi

title "store, 200,000 facts; the floor is one prepared statement"
bench '^BenchmarkImport$' 1x ./internal/store/sqlite

title "measures over a population; the peer is a general-purpose engine: aim 1000 times as fast"
./scripts/bench-measure.sh || over=1

title "a touch on the exam page, processor slowed four times; the floor is a bare button: aim p95 under 16 ms"
if ./scripts/build.sh >"$out/log" 2>&1; then
  node bench/touch/touch.mjs || over=1
else
  cat "$out/log"
  over=1
fi

exit $over
