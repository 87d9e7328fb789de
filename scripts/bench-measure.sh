#!/usr/bin/env bash
# Times the quality measures: all of them over the charts of 1,000,000 people,
# and the foot exam over the charts of the same 500 people here and by a
# general-purpose engine. Arguments: how many people, and how many of the 500.
set -euo pipefail
cd "$(dirname "$0")/.."

people=${1:-1000000}
sample=${2:-500}
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT

go build -o "$out/measure" ./bench/measure

echo "the charts of a population, of whom 14 in 100 have diabetes"
"$out/measure" -people "$people"

if [ ! -d "${TENGRAM_SHARED:-../shared}/reference" ]; then
  echo "the engine: not measured, no value sets beside the repository"
  exit 0
fi
./scripts/npm.sh
echo "the charts of $sample people with diabetes, by both"
"$out/measure" -diabetes 1 -write "$out/fhir" -sample "$sample"
"$out/measure" -diabetes 1 -people "$sample" | grep -E 'people,|foot-exam ' | tee "$out/here"
TZ=Etc/GMT+5 node bench/cql/speed.mjs "$out/fhir" | tee "$out/there"
first_figure() { awk '/^ *foot-exam / { for (i = 2; i <= NF; i++) if ($i == "ns") { print $(i - 1); exit } }' "$1"; }
here=$(first_figure "$out/here")
there=$(first_figure "$out/there")
echo "  here $((there / here)) times as fast (the aim is 1000)"
[ $((there / here)) -ge 1000 ]
